"""What an editor is told while its author writes: findings, meanings, completions, repairs.

Everything here but `server` and `convert` is plain functions from a document and a place in it to
values, in the article's own lines and columns. The server speaks the Language Server Protocol 3.17
and only carries these values to and fro.
"""
