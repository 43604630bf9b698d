package fit

var GrubbsCritical = grubbs
