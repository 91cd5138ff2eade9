"""Why a verdict is what it is: the walk from it down to where every number came from."""
