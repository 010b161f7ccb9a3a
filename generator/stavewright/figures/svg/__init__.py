"""What is done to the engraver's SVG before it may stand in a page.

Names are taken from the modules: a build that draws nothing needs the glyphs of its pages alone.
"""
