"""The stages of a build, a file each, and the values that go from one to the next."""
