"""The last review before somebody else drives: what stands in the way, and the record of it."""
