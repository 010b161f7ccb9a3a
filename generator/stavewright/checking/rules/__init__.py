"""The rules, one small file each; `checking.registry` lists them."""
