"""What the author wrote: the block language, its parser, and the Score it means."""
