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
    EXIT_USAGE = 2,
    EXIT_SCENARIO = 3,
    EXIT_SYSTEM = 4,
    EXIT_UNPHYSICAL = 5,
    EXIT_STOPPED = 130
};

int command_preview(const options *given);
int command_compare(const options *given);
int command_gather(const options *given);
int command_check(const options *given);
int command_list(const options *given);

/* A set of chances into `dir`, as `given` asks. */
int run_chances(const options *given, const thaw_scenario *scenario, const char *dir);

/* Prints n bytes of text that comes from a file or is the name of one; what would steer the terminal as \xNN. */
void print_plain(FILE *to, const char *text, size_t n);

/* Prints an error of the library on stderr, `thawprint: ` before each fault, and returns the exit
 * status that belongs to it. */
int complain(const thaw_error *err);

#endif
