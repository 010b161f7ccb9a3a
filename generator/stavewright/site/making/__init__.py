"""Making articles: all that one article needs for itself, done in processes of their own.

`make.make` is the whole of it: from the bytes of a Markdown file to what the rest of the site needs
to know (an `Essence`), the page's HTML with holes where another page has a say (a `Body`), and the
files its figures offer. Nothing but the order and the manner goes in, so the result can be kept
under a digest of the two. A `Workshop` has it done by several processes that may die.
"""
