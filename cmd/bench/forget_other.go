//go:build !linux || !amd64

package main

import "errors"

var errForget = errors.New("this system cannot be told to forget a file; want Linux on amd64")

func forget(string) error { return errForget }
