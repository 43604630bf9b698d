//go:build 386 || arm || mips || mipsle

package check

// Cells are checked for whole numbers of 64 bits, and a lesson has the same
// numbers wherever it is published. This name, which is defined nowhere, is
// what the compiler says on a system where an int has 32.
var _ = cells_need_a_system_of_64_bits
