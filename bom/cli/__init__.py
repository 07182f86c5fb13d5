"""The command line: parse, call one job, print."""
