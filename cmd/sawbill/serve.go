package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/url"
	"os"
	"os/exec"
	"os/signal"
	"runtime"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"sawbill/internal/qr"
	"sawbill/internal/web"
)

// defaultAddress is where the page is unless the user says otherwise.
const defaultAddress = "127.0.0.1:8017"

func serveCommand() *cobra.Command {
	var address, rackFile string
	var quiet bool
	c := &cobra.Command{
		Use:   "serve [DIR]",
		Short: "the jobs of a folder in a browser on this machine",
		Long: `Serve opens the jobs of DIR (default: the current folder) in a browser: their
tables to be changed in place, the plan, its options, the drawings, what to cut
next, and the rack. It works offline and answers this machine only. Ctrl-C ends
it; a search under way ends with the best plan so far.

With --addr it also answers others in the same network, such as the phone in
the workshop. Then everyone enters a code first, new at each start, which is
shown here as text and as a picture for the phone's camera. The connection is
not encrypted: whoever shares the network can read along and take part.

` + exitHelp,
		Args: func(c *cobra.Command, args []string) error {
			if len(args) <= 1 {
				return nil
			}
			return exactly(1, "one folder or none")(c, args)
		},
		RunE: func(c *cobra.Command, args []string) error {
			dir := "."
			if len(args) == 1 {
				dir = args[0]
			}
			return serve(dir, address, rackFile, !quiet, c.OutOrStdout())
		},
	}
	c.Flags().StringVar(&address, "addr", defaultAddress, "`HOST:PORT` to answer at; port 0 takes a free one")
	c.Flags().StringVar(&rackFile, "rack", "", "the rack's `FILE` (default in the user's data folder)")
	c.Flags().BoolVar(&quiet, "no-open", false, "do not open a browser")
	return c
}

func serve(dir, address, rackFile string, open bool, stdout io.Writer) error {
	host, _, err := net.SplitHostPort(address)
	if err != nil {
		return fail(exitUsage, "--addr %q is not an address; write for example %s", address, defaultAddress)
	}
	ip := net.ParseIP(host)
	if host == "localhost" {
		ip = net.IPv4(127, 0, 0, 1)
	}
	if ip == nil && host != "" {
		return fail(exitUsage, "--addr %q names a host; write its number, such as 192.168.1.20:8017, or :8017 for all of this machine's", address)
	}
	if info, err := os.Stat(dir); err != nil || !info.IsDir() {
		return fail(exitFiles, "%s is not a folder; name the one with the jobs", dir)
	}
	ctx, end := signal.NotifyContext(context.Background(), os.Interrupt)
	defer end()
	s, err := web.New(dir, program(rackFile), end)
	if err != nil {
		return fail(exitFiles, "the pages cannot be served: %w", err)
	}
	l, err := net.Listen("tcp", address)
	if err != nil {
		return fail(exitFiles, "%s cannot be used (%w); name another with --addr", address, err)
	}
	hosts := web.Hosts(l.Addr())
	at := "http://" + hosts[0] + "/"
	fmt.Fprintf(stdout, "The jobs of %s are at %s; Ctrl-C ends it.\n", dir, at)
	if !ip.IsLoopback() {
		code := s.Pair()
		at = "http://" + reachable(hosts) + "/pair?code=" + url.QueryEscape(code)
		if err := showCode(stdout, code, at); err != nil {
			return fail(exitFiles, "the code could not be shown: %w", err)
		}
	}
	server := &http.Server{
		Handler: s.Handler(hosts...), ReadHeaderTimeout: 5 * time.Second, IdleTimeout: time.Minute, MaxHeaderBytes: 64 << 10,
		BaseContext: func(net.Listener) context.Context { return ctx },
	}
	if open {
		browse(at)
	}
	failed := make(chan error, 1)
	go func() { failed <- server.Serve(l) }()
	select {
	case err := <-failed:
		return fail(exitFiles, "the pages cannot be served: %w", err)
	case <-ctx.Done():
	}
	drain, cancel := context.WithTimeout(context.Background(), 30*time.Second)
	defer cancel()
	s.Stop(drain)
	if err := server.Shutdown(drain); err != nil && !errors.Is(err, context.DeadlineExceeded) {
		return fail(exitFiles, "the pages ended badly: %w", err)
	}
	return nil
}

// reachable is the host under which others most likely find this machine: the
// first that is not its own alone, and an old number (IPv4) where there is one.
func reachable(hosts []string) string {
	best, points := hosts[0], -1
	for _, h := range hosts {
		name, _, _ := net.SplitHostPort(h)
		ip := net.ParseIP(name)
		n := 0
		if ip != nil && !ip.IsLoopback() && !ip.IsLinkLocalUnicast() {
			n = 1
			if ip.To4() != nil {
				n = 2
			}
		}
		if n > points {
			best, points = h, n
		}
	}
	return best
}

// showCode shows the code of a start, and a picture of the address that enters it.
func showCode(w io.Writer, code, at string) error {
	picture, err := qr.Encode(at)
	if err != nil {
		return err
	}
	size := picture.Side
	dark := func(x, y int) bool {
		return x >= 0 && y >= 0 && x < size && y < size && picture.Dark[y*size+x]
	}
	var b strings.Builder
	fmt.Fprintf(&b, "Others in the network enter this code: %s\n", code[:4]+" "+code[4:])
	fmt.Fprintf(&b, "or open %s\n", at)
	b.WriteString("The connection is not encrypted: whoever shares the network can read along.\n\n")
	// Two rows of cells in one of letters, light ones drawn: terminals are mostly dark.
	for y := -qr.Quiet; y < size+qr.Quiet; y += 2 {
		for x := -qr.Quiet; x < size+qr.Quiet; x++ {
			switch up, low := dark(x, y), dark(x, y+1) || y+1 >= size+qr.Quiet; {
			case up && low:
				b.WriteRune(' ')
			case up:
				b.WriteRune('▄')
			case low:
				b.WriteRune('▀')
			default:
				b.WriteRune('█')
			}
		}
		b.WriteByte('\n')
	}
	b.WriteByte('\n')
	_, err = io.WriteString(w, b.String())
	return err
}

// browse opens a page in the user's browser, if that is easy.
func browse(at string) {
	switch runtime.GOOS {
	case "windows":
		_ = exec.Command("rundll32", "url.dll,FileProtocolHandler", at).Start()
	case "darwin":
		_ = exec.Command("open", at).Start()
	default:
		_ = exec.Command("xdg-open", at).Start()
	}
}
