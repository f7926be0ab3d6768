package job

import (
	"sawbill/internal/length"
)

// Assembly is how fast things are put together.
type Assembly struct {
	// Rivets set in a minute by one person, and Bead, the length of adhesive laid
	// in a minute.
	Rivets int64
	Bead   length.Length
	// OpenTime is how many minutes the adhesive stays open; 0 when not given.
	OpenTime int64
}

// DefaultAssembly is where the job does not say: 6 rivets and 2 m of bead in a
// minute, holes drilled and parts at hand. Common practice, no source.
var DefaultAssembly = Assembly{Rivets: 6, Bead: 2 * length.Metre}

// readAssembly reads [assembly].
func (r *reader) readAssembly() {
	r.job.Assembly = DefaultAssembly
	all := r.blocks("assembly")
	if len(all) == 0 {
		return
	}
	b, a := all[0], &r.job.Assembly
	if b.has("rivets-per-minute") {
		a.Rivets = b.countTo("rivets-per-minute", 1, 1000)
	}
	if b.has("bead-per-minute") {
		before := len(r.faults)
		if l := b.extent("bead-per-minute"); l > 0 {
			a.Bead = l
		} else if len(r.faults) == before {
			r.fault(b.posOf("bead-per-minute"), `bead-per-minute is 0; write how much adhesive is laid in a minute, as in bead-per-minute = "2 m"`)
		}
	}
	if b.has("open-time") {
		a.OpenTime = b.countTo("open-time", 1, 10_000)
	}
}
