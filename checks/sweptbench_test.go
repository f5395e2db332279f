package checks

import (
	"io/fs"
	"testing"

	"trammel.example/schema"
)

// BenchmarkSwept is what the moving parts of the tray lifter sweep.
func BenchmarkSwept(b *testing.B) {
	spec, err := schema.NewLoader("..", map[string]fs.FS{"schema": schema.Files}).Load("examples/tray-lifter")
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		Swept(spec.Machines[0])
	}
}
