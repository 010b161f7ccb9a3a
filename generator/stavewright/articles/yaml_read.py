"""Front matter, settings and themes from text to a tree of YAML."""

from stavewright.articles.yaml_common import read_common
from stavewright.articles.yaml_nodes import YamlMap
from stavewright.notation.source import SourceText


def read_yaml(text: SourceText) -> YamlMap:
    """The mapping a text holds; an empty text is an empty mapping. Raises `YamlReadError`."""
    common = read_common(text)
    if common is not None:
        return common
    from stavewright.articles.yaml_whole import read_whole  # here: few texts need it

    return read_whole(text)
