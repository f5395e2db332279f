package schema

import (
	"io/fs"
	"testing"
)

func loader(dir string) *Loader {
	return NewLoader(dir, map[string]fs.FS{"schema": Files})
}

func BenchmarkLoad(b *testing.B) {
	for b.Loop() {
		spec, err := loader("..").Load("examples/tray-lifter")
		if err != nil {
			b.Fatal(err)
		}
		_ = spec
	}
}
func TestLoad(t *testing.T) {
	spec, err := loader("..").Load("examples/tray-lifter")
	if err != nil {
		t.Fatal(err)
	}
	t.Logf("%+v", spec.Machines[0].Cylinders)
}
