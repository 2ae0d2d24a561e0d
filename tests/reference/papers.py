"""Looks through the papers in deploy/papers: each says that it is a form, and what participants are given reads easily.

The grade is that of Kincaid et al. 1975, by textstat, an outside library, over a whole paper.

Prints {"judged": N, "offenders": [{"file", "what"}], "grades": {file: grade}}.
"""

import html
import json
import re
from pathlib import Path

import textstat

GRADE = 6.0
papers = sorted(path for path in (Path(__file__).parents[2] / "deploy/papers").iterdir() if path.name != "README.md")
offenders = []
grades = {}


def words_of(page):
    page = re.sub(r"<(style|title|small)\b.*?</\1>", " ", page, flags=re.S)
    page = re.sub(r"<span class=\"open\"></span>", "a line", page)
    # Headings and list items end as sentences do.
    page = re.sub(r"(?<![.!?])</(h1|h2|li|p)>", ".", page)
    return html.unescape(re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", page)))


for paper in papers:
    text = paper.read_text()
    if "This is a form, not advice." not in text:
        offenders.append({"file": paper.name, "what": "does not say that it is a form and no advice"})
    if paper.suffix == ".html":
        grades[paper.name] = round(textstat.flesch_kincaid_grade(words_of(text)), 1)
        if grades[paper.name] > GRADE:
            offenders.append({"file": paper.name, "what": f"grade {grades[paper.name]}"})
print(json.dumps({"judged": len(papers), "offenders": offenders, "grades": grades}))
