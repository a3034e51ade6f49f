"""What is printed for the warehouse: labels of tyres, of lots and of places."""
