"""The demo shop: invented, beside the shop's own records, and never kept with them."""
