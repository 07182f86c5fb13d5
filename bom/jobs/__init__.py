"""One file per job a user asks for; joins the rooms."""
