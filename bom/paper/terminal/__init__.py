"""How answers look in a terminal, each made from the same mapping that ``--json`` prints."""
