"""Tools for whoever writes rules: checks over the whole book, and two books compared."""
