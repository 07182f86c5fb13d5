"""The jobs a user asks for, in a folder for each trade: replacing, buying, shelf, kits; joins the rooms."""
