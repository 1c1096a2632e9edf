"""The sums that rule files may call, by plain name."""
