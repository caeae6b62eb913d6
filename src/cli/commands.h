/* One function a command; each returns the exit status. */
#ifndef THAW_CLI_COMMANDS_H
#define THAW_CLI_COMMANDS_H

#include "options.h"

#include <stdio.h>

#include <thawprint/scenario.h>
#include <thawprint/status.h>

/* Exit statuses. */
enum {
    EXIT_DONE = 0,
    EXIT_NOT_MET = 1, /* ran, but what was asked cannot be had */
    EXIT_USAGE = 2,
    EXIT_SCENARIO = 3,
    EXIT_SYSTEM = 4,
    EXIT_UNPHYSICAL = 5,
    EXIT_STOPPED = 130
};

int command_preview(const options *given);
int command_compare(const options *given);
int command_pieces(const options *given);
int command_gather(const options *given);
int command_check(const options *given);
int command_notebook(const options *given);
int command_list(const options *given);
int command_strip(const options *given);
int command_record(const options *given);
int command_learn(const options *given);
int command_supplies(const options *given);
int command_border(const options *given);

/* The one scenario of the command line (preview: none means the demo), with kitchen, detail and seed as given.
 * usual_detail: where none is given; NULL for that of the file. */
thaw_status load_scenario(const options *given, const char *usual_detail, thaw_scenario **out, thaw_error *err);

/* A set of chances into `dir`, as `given` asks. */
int run_chances(const options *given, const thaw_scenario *scenario, const char *dir);

/* Prints n bytes of text that comes from a file or is the name of one; what would steer the terminal as \xNN. */
void print_plain(FILE *to, const char *text, size_t n);

/* Prints an error of the library on stderr, `thawprint: ` before each fault, and returns the exit
 * status that belongs to it. */
int complain(const thaw_error *err);

#endif
