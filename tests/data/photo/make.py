"""Makes the pictures in this folder with Pillow and piexif, libraries independent of the ones under test.

    pip install pillow==13.0.0 piexif==1.1.3 && python make.py

All pictures show the same invented scene, 48 x 32: red, green / blue, white quarters.
The marker text stands in every place where a camera can write about where and who.
"""

import os
import struct

import piexif
from PIL import Image, ImageOps, PngImagePlugin

HERE = os.path.dirname(os.path.abspath(__file__))
MARKER = "KESTREL-NESS-SECRET"
XMP = (
    '<?xpacket begin="" id="W5M0MpCehiHzreSzNTczkc9d"?><x:xmpmeta xmlns:x="adobe:ns:meta/">'
    f"<where>{MARKER}</where></x:xmpmeta>"
)


def scene():
    picture = Image.new("RGB", (48, 32))
    for at, colour in [((0, 0), "red"), ((24, 0), "lime"), ((0, 16), "blue"), ((24, 16), "white")]:
        picture.paste(colour, (*at, at[0] + 24, at[1] + 16))
    return picture


def exif(orientation=1, gps=False, taken="2031:05:14 06:42:09", offset="+02:00"):
    zeroth = {piexif.ImageIFD.Orientation: orientation}
    own = {}
    if taken is not None:
        own[piexif.ExifIFD.DateTimeOriginal] = taken
    if offset is not None:
        own[piexif.ExifIFD.OffsetTimeOriginal] = offset
    tables = {"0th": zeroth, "Exif": own}
    if gps:
        zeroth[piexif.ImageIFD.Artist] = MARKER
        zeroth[piexif.ImageIFD.ImageDescription] = MARKER
        own[piexif.ExifIFD.UserComment] = b"ASCII\0\0\0" + MARKER.encode()
        own[piexif.ExifIFD.BodySerialNumber] = MARKER
        tables["GPS"] = {
            piexif.GPSIFD.GPSLatitudeRef: "N",
            piexif.GPSIFD.GPSLatitude: ((12, 1), (34, 1), (5678, 100)),
            piexif.GPSIFD.GPSLongitudeRef: "W",
            piexif.GPSIFD.GPSLongitude: ((98, 1), (7, 1), (6543, 100)),
            piexif.GPSIFD.GPSAreaInformation: b"ASCII\0\0\0" + MARKER.encode(),
        }
        inner = scene().resize((24, 16))
        path = os.path.join(HERE, "inner.tmp")
        inner.save(path, "JPEG")
        with open(path, "rb") as file:
            tables["thumbnail"] = file.read()
        os.remove(path)
        tables["1st"] = {piexif.ImageIFD.Make: MARKER}
    return piexif.dump(tables)


def turned(orientation):
    """The pixels a camera held that way stores: upright again only once `orientation` is applied."""
    undo = {2: 0, 3: 3, 4: 1, 5: 5, 6: 2, 7: 6, 8: 4}
    stored = scene() if orientation == 1 else scene().transpose(Image.Transpose(undo[orientation]))
    check = stored.copy()
    check.getexif()[0x0112] = orientation
    assert ImageOps.exif_transpose(check).tobytes() == scene().tobytes(), orientation
    return stored


def save(picture, name, kind, **options):
    picture.save(os.path.join(HERE, name), kind, **options)


for number in range(1, 9):
    save(turned(number), f"orientation-{number}.jpg", "JPEG", quality=92, subsampling=0, exif=exif(number))

save(scene(), "gps.jpg", "JPEG", quality=92, exif=exif(gps=True), comment=MARKER, xmp=XMP.encode())
save(scene(), "progressive.jpg", "JPEG", quality=92, progressive=True)
save(scene().convert("L"), "grey.jpg", "JPEG", quality=92)
save(scene().convert("CMYK"), "cmyk.jpg", "JPEG", quality=92)
save(scene(), "no-offset.jpg", "JPEG", quality=92, exif=exif(offset=None))
save(scene(), "clock-never-set.jpg", "JPEG", quality=92, exif=exif(taken="0000:00:00 00:00:00"))
save(scene(), "blank-time.jpg", "JPEG", quality=92, exif=exif(taken="    :  :     :  :  ", offset="   :  "))

text = PngImagePlugin.PngInfo()
text.add_text("Comment", MARKER)
text.add_itxt("XML:com.adobe.xmp", XMP)
save(turned(6), "gps-orientation-6.png", "PNG", exif=exif(6, gps=True), pnginfo=text)
clear = scene().convert("RGBA")
clear.paste((255, 0, 255, 0), (0, 0, 24, 16))
save(clear, "see-through.png", "PNG")
save(scene().convert("P", palette=Image.Palette.ADAPTIVE), "palette.png", "PNG")
save(Image.frombytes("I;16", (4, 4), struct.pack("<16H", *range(0, 65536, 4096))), "grey-16-bit.png", "PNG")
save(turned(8), "gps-orientation-8.webp", "WEBP", quality=92, exif=exif(8, gps=True), xmp=XMP)
save(scene(), "lossless.webp", "WEBP", lossless=True)
save(scene(), "plain.bmp", "BMP")
save(scene(), "other.gif", "GIF")
save(scene(), "other.tif", "TIFF")
