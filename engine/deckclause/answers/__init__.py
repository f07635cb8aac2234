"""Answers: each command's result, built once, with every decision in it; printers only print."""
