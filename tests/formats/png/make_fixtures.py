"""Writes compressed.png with a writer that is not ours (Pillow): a note in a compressed iTXt chunk behind other text.

    make_fixtures.py FOLDER
"""
import sys
from pathlib import Path

from PIL import Image, PngImagePlugin

NOTE = '{"linewash":1,"recipe":{"linewash":1,"name":"\u03b2","matrix":[[1,0,0],[0,1,0],[0,0,1]]},"writer":"0"}'
texts = PngImagePlugin.PngInfo()
texts.add_text('Title', 'other words', zip=True)
texts.add_itxt('Comment', 'words of others', zip=True)
texts.add_itxt('linewash', NOTE, lang='en', tkey='note', zip=True)
Image.new('RGB', (3, 2)).save(Path(sys.argv[1]) / 'compressed.png', pnginfo=texts)
