"""pneusim: computes what a heavy vehicle's air-brake circuit does."""
