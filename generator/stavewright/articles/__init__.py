"""Markdown articles: front matter, claims in the prose, links."""
