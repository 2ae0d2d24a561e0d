"""Opens a person's own copy as another program would (W-27, W-29), and prints what is in it as JSON.

own_copy.py FILE    FILE is the zip
"""

import copy
import json
import re
import sys
import zipfile
from html.parser import HTMLParser

import jsonschema

with zipfile.ZipFile(sys.argv[1]) as file:
    assert file.testzip() is None
    assert sorted(file.namelist()) == ["copy.json", "copy.schema.json", "read-me.html"]
    texts = {name: file.read(name).decode("utf-8") for name in file.namelist()}

content, schema = json.loads(texts["copy.json"]), json.loads(texts["copy.schema.json"])
jsonschema.Draft202012Validator.check_schema(schema)
checker = jsonschema.Draft202012Validator(schema, format_checker=jsonschema.Draft202012Validator.FORMAT_CHECKER)
checker.validate(content)
# An unknown field fails, wherever it stands.
for path in [[], ["person"], ["classes", 0], ["classes", 0, "facts", 0], ["notes", 0], ["looked_at", 0]]:
    other = copy.deepcopy(content)
    at = other
    for part in path:
        at = at[part]
    at["unknown"] = 1
    assert not checker.is_valid(other), path


class Page(HTMLParser):
    """Refuses whatever would be fetched or run, and counts what is read."""

    def __init__(self):
        super().__init__()
        self.words = []

    def handle_starttag(self, tag, attrs):
        assert tag not in {"script", "img", "iframe", "object", "form", "base"}, tag
        for name, value in attrs:
            assert name not in {"src", "href", "onclick", "style"}, f"{name}={value}"

    def handle_data(self, data):
        self.words.append(data)


page = Page()
page.feed(texts["read-me.html"])
assert not re.search(r"url\(|@import|https?:", texts["read-me.html"])
print(json.dumps({"content": content, "page": " ".join(page.words)}))
