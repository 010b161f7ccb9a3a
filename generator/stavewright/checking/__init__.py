"""Where the notes and the words disagree: one small function a rule."""
