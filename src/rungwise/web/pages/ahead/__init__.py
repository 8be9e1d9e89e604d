"""Forecast: for the shop, and for one unit, part by part."""
