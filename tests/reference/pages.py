"""Reads a printed file with pypdf, and prints for each page its size in points, its text, and the smallest letters on it.

pages.py FILE
"""

import json
import sys

import pypdf

found = []
for page in pypdf.PdfReader(sys.argv[1]).pages:
    sizes = []

    def letters(text, cm, tm, _font, size, sizes=sizes):
        # Figures are of a font of their own, which is drawn as large at a smaller number.
        if any(letter.isalpha() for letter in text):
            # The letters are as large as their font, scaled by the text's matrix and the page's.
            sizes.append(abs(size * tm[3] * cm[3]))

    page.extract_text(visitor_text=letters)
    width, height = (float(side) for side in page.mediabox[2:])
    found.append({"width": width, "height": height, "text": page.extract_text(), "smallest": min(sizes, default=0)})
print(json.dumps(found))
