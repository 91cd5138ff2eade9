"""The commands, by subject: parse arguments, call, print. Each imports late what it needs."""
