"""Working an answer out before writing it: one module a noun, each from text to an `Answer`.

Nothing here parses a block or checks a claim, so that an answer comes at once; that all it offers
would pass the check is a law of the tests.
"""
