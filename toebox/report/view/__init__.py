"""Solution to view: the only place where results become words and numbers become text."""
