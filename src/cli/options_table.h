/* The one table of commands and flags: the parser, the help, the man page and the completion come from it. */
#ifndef THAW_CLI_OPTIONS_TABLE_H
#define THAW_CLI_OPTIONS_TABLE_H

#include "options.h"

/* Where a flag belongs. */
enum { P = 1, C = 2, L = 4, NO_COMMAND = 8, G = 16, V = 32, STRIP = 64, RECORD = 128, LEARN = 256, PIECES = 512, NOTEBOOK = 1024,
       BORDER = 2048, SUPPLIES = 4096 };

/* Flags without a short letter. */
enum { KEY_SEED = 256, KEY_THREADS, KEY_DETAIL, KEY_JSON, KEY_CLOTHS, KEY_DYES, KEY_SWATCHES, KEY_CLOTH, KEY_CHANCES,
       KEY_PART, KEY_ONLY_LUCK, KEY_VARY, KEY_WITHOUT_RANGES, KEY_PATTERN, KEY_PAPER, KEY_WISH, KEY_ONE_WAY,
       KEY_START, KEY_PACKETS, KEY_END, KEY_SURE, KEY_FRAMES, KEY_DATE, KEY_TAKE_OUT, KEY_NAME, KEY_WATER, KEY_ALONG,
       KEY_MELTED, KEY_RINSED, KEY_CLIMBED, KEY_WHITE, KEY_REMARK, KEY_PHOTO, KEY_CORNERS, KEY_WHITE_AT, KEY_KITCHEN };

typedef struct flag {
    const char *name;
    int key; /* the short letter, if below 256 */
    const char *value;
    int where;
    const char *help;
} flag;

typedef struct command {
    const char *name;
    command_id id;
    int bit;
    const char *does, *operands, *examples;
} command;

enum { MOST_FLAGS = 64, MOST_COMMANDS = 24 };

extern const flag FLAGS[];
extern const int N_FLAGS;
extern const command COMMANDS[];
extern const int N_COMMANDS;

/* NULL: there is none. */
const command *find_command(command_id id);
const flag *find_flag(int key);

#endif
