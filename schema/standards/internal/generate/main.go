// Generate writes schema/standards/compiled.go from the tables' CUE files.
package main

import (
	"log"
	"os"

	"trammel.example/schema/standards"
)

func main() {
	data, err := standards.Compile(os.DirFS("."))
	if err != nil {
		log.Fatal(err)
	}
	if err := os.WriteFile("compiled.go", data, 0o644); err != nil {
		log.Fatal(err)
	}
}
