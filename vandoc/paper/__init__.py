"""Printed files as PDF: labels at full size, the glovebox books, the survey sheet."""
