"""Bills of materials, cost, price, and how many can be made up. Pure."""
