"""What each noun of a claim means: one module a noun, each working out the truth of a claim."""
