"""What may cure a breach: changes of sizes and of pieces, nearest first."""
