"""Checks, draws and proves the wiring of a machine from one plan file, before power-up."""
