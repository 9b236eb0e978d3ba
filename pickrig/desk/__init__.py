"""A local page in the browser: the same questions, the same files, the same answer."""
