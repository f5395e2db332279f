// Generate writes rules/shipped.json from the rules' CUE files.
package main

import (
	"log"
	"os"

	"trammel.example/rules"
)

func main() {
	data, err := rules.Compile(".", "../checks/facts.cue")
	if err != nil {
		log.Fatal(err)
	}
	if err := os.WriteFile("shipped.json", data, 0o644); err != nil {
		log.Fatal(err)
	}
}
