"""From the bytes of a file to a tree of XML, safely.

A file may come from anywhere. Entities and external references are refused before anything is
expanded, a compressed file is unpacked within a limit, and so is the depth of the tree.
"""

import io
import xml.etree.ElementTree as ET
import zipfile
import zlib
from typing import Final

from defusedxml import DefusedXmlException
from defusedxml.ElementTree import fromstring

from stavewright.importing.errors import CannotImportError

MOST_BYTES: Final = 32 * 1024 * 1024
"""Of XML; a whole symphony takes about ten million."""
_DEEPEST: Final = 200
_ID: Final = "{http://www.w3.org/XML/1998/namespace}id"
_ZIP: Final = b"PK\x03\x04"
_CONTAINER: Final = "META-INF/container.xml"
_SCORES: Final = (".musicxml", ".xml", ".mei")


def open_tree(data: bytes) -> ET.Element:
    """Give the root of the score, its names without namespaces.

    Takes MusicXML and MEI, plain or compressed. Raises CannotImportError.
    """
    if not data.strip():
        raise CannotImportError("the file is empty")
    text = _unpacked(data) if data.startswith(_ZIP) else data
    root = _parsed(text)
    _strip(root)
    return root


def _parsed(data: bytes) -> ET.Element:
    if len(data) > MOST_BYTES:
        raise CannotImportError(f"the file holds more than {MOST_BYTES // 2**20} megabytes of XML")
    try:
        root: ET.Element = fromstring(data)
    except DefusedXmlException as error:
        raise CannotImportError(
            "the file defines entities of its own or asks for other files, which a score has no "
            "need of; save it again from a notation program"
        ) from error
    except (ET.ParseError, ValueError, LookupError) as error:
        hint = f"; the fault is at {_place(error)}" if isinstance(error, ET.ParseError) else ""
        raise CannotImportError(
            f"this is no XML that can be read{hint}. Export MusicXML or MEI from your program"
        ) from error
    return root


def _place(error: ET.ParseError) -> str:
    line, column = error.position
    return f"line {line}, column {column + 1}"


def _strip(root: ET.Element) -> None:
    """Take the namespaces off all names; refuse a tree that is too deep to walk."""
    level, depth = [root], 0
    while level:
        depth += 1
        if depth > _DEEPEST:
            raise CannotImportError(f"the file nests its elements more than {_DEEPEST} deep")
        for element in level:
            if isinstance(element.tag, str):
                element.tag = element.tag.rpartition("}")[2]
            name = element.attrib.pop(_ID, None)
            if name is not None:
                element.set("id", name)
        level = [child for element in level for child in element]


def _unpacked(data: bytes) -> bytes:
    """The score inside a compressed file (MusicXML 4.0, ch. "Compressed .mxl files")."""
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            return _read(archive, _score_name(archive))
    except NotImplementedError as error:  # a kind of RuntimeError, so before it
        raise CannotImportError("the file is compressed in a way that is not known") from error
    except (zipfile.BadZipFile, zlib.error, EOFError, KeyError, RuntimeError, OSError) as error:
        raise CannotImportError("the compressed file is damaged, or is no score") from error


def _score_name(archive: zipfile.ZipFile) -> str:
    names = archive.namelist()
    if _CONTAINER in names:
        for entry in _parsed(_read(archive, _CONTAINER)).iter():
            if isinstance(entry.tag, str) and entry.tag.rpartition("}")[2] == "rootfile":
                return entry.get("full-path", "")
    found = [n for n in names if n.lower().endswith(_SCORES) and not n.startswith("META-INF")]
    if not found:
        raise CannotImportError("the compressed file holds no score")
    return found[0]


def _read(archive: zipfile.ZipFile, name: str) -> bytes:
    with archive.open(name) as file:
        return file.read(MOST_BYTES + 1)
