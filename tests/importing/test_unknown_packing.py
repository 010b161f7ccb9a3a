"""A compressed file whose method nobody here knows is told apart from a damaged one."""

import io
import zipfile

import pytest

from stavewright.importing import CannotImportError, read_piece


def test_an_unknown_way_of_compressing_is_named() -> None:
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w") as archive:
        archive.writestr("score.xml", "<score-partwise/>")
    data = bytearray(packed.getvalue())
    # The method's place in the headers: APPNOTE.TXT 4.3.7 and 4.3.12; 98 is PPMd.
    data[8] = data[data.index(b"PK\x01\x02") + 10] = 98
    with pytest.raises(CannotImportError, match="in a way that is not known"):
        read_piece(bytes(data))
