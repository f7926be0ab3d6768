package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"runtime"
	"time"

	"github.com/spf13/cobra"

	"sawbill/internal/job"
	"sawbill/internal/plan"
	"sawbill/internal/plan/planner"
	"sawbill/internal/web"
)

// defaultAddress is where the page is unless the user says otherwise.
const defaultAddress = "127.0.0.1:8017"

func serveCommand() *cobra.Command {
	var address string
	var quiet bool
	c := &cobra.Command{
		Use:   "serve [DIR]",
		Short: "the jobs of a folder in a browser on this machine",
		Long: `Serve opens the jobs of DIR (default: the current folder) in a browser: their
tables to be changed in place, the plan, the drawings, and what to cut next. It
works offline and answers this machine only. Ctrl-C ends it.

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
			return serve(dir, address, !quiet, c.OutOrStdout())
		},
	}
	c.Flags().StringVar(&address, "addr", defaultAddress, "`HOST:PORT` to answer at; port 0 takes a free one")
	c.Flags().BoolVar(&quiet, "no-open", false, "do not open a browser")
	return c
}

func serve(dir, address string, open bool, stdout io.Writer) error {
	host, _, err := net.SplitHostPort(address)
	if err != nil {
		return fail(exitUsage, "--addr %q is not an address; write for example %s", address, defaultAddress)
	}
	if ip := net.ParseIP(host); host != "localhost" && (ip == nil || !ip.IsLoopback()) {
		return fail(exitUsage, "--addr %q can be reached from other machines, which is not possible yet; write for example %s", address, defaultAddress)
	}
	if info, err := os.Stat(dir); err != nil || !info.IsDir() {
		return fail(exitFiles, "%s is not a folder; name the one with the jobs", dir)
	}
	ctx, end := signal.NotifyContext(context.Background(), os.Interrupt)
	defer end()
	s, err := web.New(dir, program(), end)
	if err != nil {
		return fail(exitFiles, "the pages cannot be served: %w", err)
	}
	l, err := net.Listen("tcp", address)
	if err != nil {
		return fail(exitFiles, "%s cannot be used (%w); name another with --addr", address, err)
	}
	at := "http://" + l.Addr().String() + "/"
	server := &http.Server{
		Handler: s.Handler(l.Addr().String()), ReadHeaderTimeout: 5 * time.Second, IdleTimeout: time.Minute, MaxHeaderBytes: 64 << 10,
		BaseContext: func(net.Listener) context.Context { return ctx },
	}
	fmt.Fprintf(stdout, "The jobs of %s are at %s; Ctrl-C ends it.\n", dir, at)
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
	s.Stop()
	drain, cancel := context.WithTimeout(context.Background(), 10*time.Second)
	defer cancel()
	if err := server.Shutdown(drain); err != nil && !errors.Is(err, context.DeadlineExceeded) {
		return fail(exitFiles, "the pages ended badly: %w", err)
	}
	return nil
}

// program has the pages do what the commands do.
func program() web.Program {
	usual := settings{effort: string(planner.Normal), seed: 1, limit: defaultLimit}
	return web.Program{
		Plan: func(ctx context.Context, path string, progress func(web.Progress)) (*plan.Plan, error) {
			ctx, cancel := context.WithTimeout(ctx, usual.limit)
			defer cancel()
			j, err := readJob(path)
			if err != nil {
				return nil, err
			}
			j, on, err := rackChoice{}.stocked(ctx, j, path)
			if err != nil {
				return nil, err
			}
			defer on.close()
			p, err := planner.Make(ctx, j, planner.Options{Effort: planner.Effort(usual.effort), Seed: usual.seed, Progress: func(p planner.Progress) {
				progress(web.Progress{Material: p.Material, Value: p.Value, Bound: p.Bound, Found: p.Found, Done: p.Done})
			}})
			if err != nil {
				return nil, err
			}
			return p, pack(j, p, on, filepath.Join(filepath.Dir(path), "pack"), io.Discard)
		},
		Replan: func(_ context.Context, path, folder string) (string, error) {
			w, err := openWork(path, folder)
			if err != nil {
				return "", err
			}
			out := following(w.dir)
			return out, w.replan(out, usual, rackChoice{}, io.Discard, io.Discard)
		},
		New: func(list, folder string) error {
			text, err := job.New(list)
			if err != nil {
				return err
			}
			return writeNew(filepath.Join(folder, "job.toml"), text)
		},
	}
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
