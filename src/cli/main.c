/* The program: parse, dispatch, see that all output arrived. */
#define _POSIX_C_SOURCE 200809L

#include <errno.h>
#include <signal.h>
#include <stdio.h>
#include <string.h>

#include <thawprint/version.h>

#include "commands.h"

static int dispatch(const options *given)
{
    if (given->help) {
        options_help(given->command);
        return EXIT_DONE;
    }
    if (given->version) {
        printf("thawprint %s\n", thaw_version());
        return EXIT_DONE;
    }
    switch (given->command) {
    case COMMAND_PREVIEW:
        return command_preview(given);
    case COMMAND_CHECK:
        return command_check(given);
    case COMMAND_LIST:
        return command_list(given);
    case COMMAND_COMPARE:
        return command_compare(given);
    case COMMAND_PIECES:
        return command_pieces(given);
    case COMMAND_NOTEBOOK:
        return command_notebook(given);
    case COMMAND_GATHER:
        return command_gather(given);
    case COMMAND_STRIP:
        return command_strip(given);
    case COMMAND_RECORD:
        return command_record(given);
    case COMMAND_LEARN:
        return command_learn(given);
    case COMMAND_BORDER:
        return command_border(given);
    case COMMAND_SUPPLIES:
        return command_supplies(given);
    case COMMAND_NONE:
        break;
    }
    options_want_command();
    return EXIT_USAGE;
}

int main(int argc, char **argv)
{
    options given;
    if (!options_parse(argc, argv, &given)) {
        return EXIT_USAGE;
    }
    /* A file at its size limit shall be an error like a full disk, not the end of the program with
     * its temporary files left behind. */
    signal(SIGXFSZ, SIG_IGN);
    int result = dispatch(&given);
    if (fflush(stdout) != 0 || ferror(stdout)) {
        fprintf(stderr, "thawprint: standard output cannot be written: %s\n", strerror(errno));
        result = result == EXIT_DONE ? EXIT_SYSTEM : result;
    }
    return result;
}
