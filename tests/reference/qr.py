# Reads the QR codes in a picture, given by its path, with zxing-cpp, and prints their texts as JSON.

import json
import sys

import zxingcpp
from PIL import Image

print(json.dumps([code.text for code in zxingcpp.read_barcodes(Image.open(sys.argv[1]))]))
