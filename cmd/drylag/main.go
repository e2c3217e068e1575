// Command drylag is the service and its tools: one binary, one file per
// subcommand. It parses flags, calls the packages that do the work and prints.
package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"strings"
	"syscall"

	"github.com/alecthomas/kong"

	"drylag/models"
)

// Exit codes.
const (
	exitDone   = 0
	exitFailed = 1
	exitUsage  = 2
)

// commands is the whole command line: flags, then DRYLAG_* variables, then
// defaults.
type commands struct {
	Demo    demoCommand    `cmd:"" help:"Show an invented campus: fresh data folder, log-in choices on this machine only."`
	Init    initCommand    `cmd:"" help:"Create the data folder and print the one-time link for the first administrator."`
	Serve   serveCommand   `cmd:"" help:"Run the service on an existing data folder."`
	Import  importCommand  `cmd:"" help:"Bring in a register, earlier records, readings or an hourly climate."`
	Reckon  reckonCommand  `cmd:"" help:"Answer engineering questions: JSON lines in, JSON lines out."`
	Learn   learnCommand   `cmd:"" help:"Learn from a table how fast covers get wet; predictions and their calibration. JSON out."`
	User    userCommand    `cmd:"" help:"List accounts and make password links."`
	Backup  backupCommand  `cmd:"" help:"Write a verified copy of the record to a file."`
	Restore restoreCommand `cmd:"" help:"Make a data folder from a backup file."`
	Verify  verifyCommand  `cmd:"" help:"Check the record: database, guards and the chain of events."`
}

// folder is the data folder that most commands work on.
type folder struct {
	Dir string `help:"Data folder." env:"DRYLAG_DIR" default:"./drylag-data" type:"path"`
}

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	os.Exit(run(ctx, os.Args[1:], os.Stdout, os.Stderr))
}

// world is what a command may touch.
type world struct {
	ctx      context.Context
	out, err io.Writer
}

// run is the program: it parses, runs one command and says with one line what
// went wrong.
func run(ctx context.Context, args []string, out, errOut io.Writer) (code int) {
	var cli commands
	exited := -1
	parser, err := kong.New(&cli, kong.Name("drylag"), kong.Writers(out, errOut),
		kong.Description("Keeps the record of removable insulation covers on cold components, and says which to open next."),
		kong.Exit(func(c int) { exited = c }), kong.UsageOnError())
	if err != nil {
		fmt.Fprintln(errOut, "drylag:", err)
		return exitFailed
	}
	if len(args) == 0 {
		args = []string{"--help"}
	}
	command, err := parser.Parse(args)
	switch {
	case exited >= 0:
		return exited
	case err != nil:
		fmt.Fprintf(errOut, "drylag: %v; see drylag --help\n", err)
		return exitUsage
	}
	if err := command.Run(world{ctx, out, errOut}); err != nil {
		fmt.Fprintln(errOut, "drylag:", oneLine(err))
		return exitFailed
	}
	return exitDone
}

// oneLine is what went wrong and what to do, for a person at a terminal.
func oneLine(err error) string {
	var known *models.Error
	if !errors.As(err, &known) || known.Kind == models.Internal {
		return err.Error()
	}
	text := known.Msg
	for _, f := range known.Faults {
		text += " " + f.Field + ": " + f.Msg
	}
	return strings.TrimSpace(text)
}
