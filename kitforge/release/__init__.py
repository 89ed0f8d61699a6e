"""What a line of releases needs: findings for programs, many kits at once, records, locks and comparisons."""
