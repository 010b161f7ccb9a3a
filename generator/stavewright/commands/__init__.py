"""The commands, one module each: options in, one function called, words and an exit code out."""
