"""Makes the small pictures of other people's codes beside this file.

    pip install zxing-cpp==3.1.1 pillow==13.0.0
    python3 make_foreign_codes.py

The texts are invented. zxing-cpp draws them, so they are no work of the code under test.
"""

from pathlib import Path

import zxingcpp
from PIL import Image

HERE = Path(__file__).parent
CODES = [
    ("data_matrix_nameplate.png", zxingcpp.BarcodeFormat.DataMatrix, "SN 40417-B SIZE 80-250", 4),
    ("data_matrix_motor.png", zxingcpp.BarcodeFormat.DataMatrix, "MOTOR 22KW 1475RPM", 4),
    ("code_128_stores.png", zxingcpp.BarcodeFormat.Code128, "STORES-118-0042", 2),
    ("code_128_spare.png", zxingcpp.BarcodeFormat.Code128, "SPARE 7731", 2),
    ("qr_lower_case.png", zxingcpp.BarcodeFormat.QRCode, "pump manual: ask the planner", 4),
]

for name, symbology, text, scale in CODES:
    barcode = zxingcpp.create_barcode(text, symbology)
    picture = Image.fromarray(zxingcpp.write_barcode_to_image(barcode, scale=scale))
    quiet = 10 * scale
    framed = Image.new("L", (picture.width + 2 * quiet, picture.height + 2 * quiet), 255)
    framed.paste(picture, (quiet, quiet))
    framed.save(HERE / name, optimize=True)
    print(name, framed.size)
