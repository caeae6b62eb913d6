/* The command line, parsed. One table of flags drives the parser and the help. */
#ifndef THAW_CLI_OPTIONS_H
#define THAW_CLI_OPTIONS_H

#include <stdbool.h>
#include <stdint.h>

#include <thawprint/record.h>

typedef enum command_id { COMMAND_NONE, COMMAND_PREVIEW, COMMAND_CHECK, COMMAND_LIST, COMMAND_GATHER, COMMAND_COMPARE,
                          COMMAND_PIECES, COMMAND_NOTEBOOK, COMMAND_STRIP, COMMAND_RECORD, COMMAND_LEARN,
                          COMMAND_BORDER, COMMAND_SUPPLIES } command_id;

#define MOST_OPERANDS 256
#define MOST_WISHES 64
#define FRAMES_NOT_GIVEN (-1)

typedef struct options {
    command_id command;
    bool help, version, quiet, verbose, dry_run, json, seed_given;
    const char *out_dir, *detail; /* NULL: not given */
    const char *cloths, *dyes;    /* files of one's own; NULL: not given */
    const char *kitchen;          /* what was learnt; NULL: not given */
    const char *swatches, *cloth; /* NULL: not given */
    const char *name, *water;     /* of a strip test; NULL: not given */
    bool along_weft;
    thaw_record_options record;
    const char *start, *packets;  /* supplies; NULL: not given */
    const char *end, *sure;       /* border; NULL: not given */
    uint64_t seed;
    int threads; /* 0: not given */
    int chances; /* 0: not given */
    int part, n_parts; /* 0: all */
    bool only_luck, without_ranges;
    int frames; /* FRAMES_NOT_GIVEN, 0 or a number */
    const char *date; /* NULL: not given */
    bool take_out;
    int n_vary;
    const char *vary[2];
    const char *pattern, *paper; /* NULL: not given */
    bool one_way;
    int n_wishes;
    const char *wishes[MOST_WISHES];
    int n_operands;
    const char *operands[MOST_OPERANDS];
} options;

/* False after one line on stderr: wrong command line. */
bool options_parse(int argc, char **argv, options *out);
/* Help of a command, or of the program for COMMAND_NONE. */
void options_help(command_id command);
/* One line on stderr that names the commands. */
void options_want_command(void);

/* The tables, from which man page and completion are made. What a value is, is said by its word: DIR or FOLDER, FILE;
 * WORD, where the help begins with the words allowed, as "draft, normal or fine: ..."; NAME, an entry of the list called
 * as the flag with an s; anything else is not completed. Operands, if all are of one kind: FOLDER, SCENARIO (a YAML
 * file), WHAT (a list); else any file. */
typedef struct command_row {
    const char *name, *does, *operands, *examples;
} command_row;
typedef struct flag_row {
    const char *name;
    char letter;       /* 0: none */
    const char *value; /* NULL: takes none */
    const char *help;
} flag_row;

/* The i-th; false past the end. */
bool options_command_row(int i, command_row *out);
bool options_flag_row(int i, flag_row *out);
/* Does a flag belong to a command, or for -1 to the program without one? */
bool options_flag_fits(int flag, int command);

#endif
