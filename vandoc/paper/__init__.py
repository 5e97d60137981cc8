"""What is printed: labels at true size, the glovebox books, the survey sheet. All of it made as PDF."""
