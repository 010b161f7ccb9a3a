"""Pages from articles: addresses, templates, feeds, the written site."""
