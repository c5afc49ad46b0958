"""From counts to named units, cables on links, purchases and seats."""
