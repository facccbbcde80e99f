"""Pages as pixels, read by a decoder that shares no code with the printer."""

import pypdfium2
import zxingcpp
from PIL import Image


def page_pixels(pdf: bytes, dpi: float, page: int = 0) -> Image.Image:
    document = pypdfium2.PdfDocument(pdf)
    try:
        return document[page].render(scale=dpi / 72, grayscale=True).to_pil().convert("L")
    finally:
        document.close()


def page_count(pdf: bytes) -> int:
    document = pypdfium2.PdfDocument(pdf)
    try:
        return len(document)
    finally:
        document.close()


def page_words(pdf: bytes, page: int = 0) -> str:
    document = pypdfium2.PdfDocument(pdf)
    try:
        return document[page].get_textpage().get_text_range()
    finally:
        document.close()


def codes_read(image: Image.Image) -> list[str]:
    found = zxingcpp.read_barcodes(image, formats=zxingcpp.BarcodeFormats(zxingcpp.BarcodeFormat.QRCode))
    return [one.text for one in found]
