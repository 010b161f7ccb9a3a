"""The live server an author writes beside."""
