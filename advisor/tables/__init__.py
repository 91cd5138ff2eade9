"""Published tables as data files, each with its source, and their one reader."""
