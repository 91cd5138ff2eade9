"""The order of connection and test for one vehicle, and its readings against what is expected."""
