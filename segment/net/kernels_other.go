//go:build !amd64 || purego

package net

func bestKernels() kernels { return plainKernels() }
