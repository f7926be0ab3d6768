package replan

import "os"

func write(t interface{ Fatal(...any) }, path, text string) {
	if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
}
