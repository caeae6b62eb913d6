#include "pages.h"

#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <thawprint/version.h>

#include "cli/commands.h"
#include "cli/options.h"

/* Exit statuses in words. */
static const struct status_row {
    int status;
    const char *meaning;
} STATUSES[] = {
    {EXIT_DONE, "done"},
    {EXIT_USAGE, "wrong command line"},
    {EXIT_SCENARIO, "fault in a scenario or in another file that was read; every fault is on standard error"},
    {EXIT_SYSTEM, "a file could not be read or written, or memory ran out"},
    {EXIT_UNPHYSICAL, "the computation left the physical range"},
    {EXIT_STOPPED, "stopped by Ctrl-C; temporary files are removed"},
};

/* One sign, so that it is no escape: a hyphen stays a hyphen. */
static void put_sign(char sign)
{
    static const char plain[] = "\\-`", *const escaped[] = {"\\e", "\\-", "\\`"};
    const char *at = strchr(plain, sign);
    if (sign && at) {
        fputs(escaped[at - plain], stdout);
    } else {
        putchar(sign);
    }
}

/* Text in which nothing is a request or an escape. Lines longer than `widest` are broken at a blank. */
static void put_wrapped(const char *text, size_t widest)
{
    size_t column = 0;
    for (; *text; text++) {
        if (*text == ' ' && column + 1 + strcspn(text + 1, " \n") > widest) {
            putchar('\n');
            column = 0;
            continue;
        }
        if (column == 0 && (*text == '.' || *text == '\'')) {
            fputs("\\&", stdout);
        }
        put_sign(*text);
        column = *text == '\n' ? 0 : column + 1;
    }
}

static void put(const char *text)
{
    put_wrapped(text, 70);
}

static void put_line(const char *before, const char *text, const char *after)
{
    fputs(before, stdout);
    put(text);
    fputs(after, stdout);
}

/* Examples as they stand. */
static void put_examples(const char *text)
{
    printf(".PP\n.nf\n");
    put_wrapped(text, SIZE_MAX);
    printf(".fi\n");
}

static void put_synopsis(void)
{
    command_row command;
    printf(".SH SYNOPSIS\n");
    for (int i = 0; options_command_row(i, &command); i++) {
        put_line(i ? ".br\n\\fBthawprint\\fR \\fB" : "\\fBthawprint\\fR \\fB", command.name, "\\fR [\\fIoptions\\fR] ");
        put_line("", command.operands, "\n");
    }
    printf(".br\n\\fBthawprint\\fR \\-\\-help | \\-\\-version\n");
}

static void put_commands(void)
{
    command_row command;
    printf(".SH COMMANDS\n");
    for (int i = 0; options_command_row(i, &command); i++) {
        put_line(".SS ", command.name, " ");
        put_line("", command.operands, "\n");
        put_line("", command.does, ".\n");
        put_examples(command.examples);
    }
}

/* "For preview and compare." or nothing where it belongs to every command. */
static void put_places(int flag)
{
    command_row command;
    int n = 0, n_fit = 0, n_put = 0;
    for (; options_command_row(n, &command); n++) {
        n_fit += options_flag_fits(flag, n);
    }
    if (n_fit == n) {
        return;
    }
    printf("For");
    for (int i = 0; options_command_row(i, &command); i++) {
        if (options_flag_fits(flag, i)) {
            const char *joint = n_put == 0 ? "\n" : n_put + 1 < n_fit ? ",\n" : "\nand ";
            printf("%s\\fB%s\\fR", joint, command.name);
            n_put++;
        }
    }
    printf(".\n");
}

static void put_options(void)
{
    flag_row flag;
    printf(".SH OPTIONS\n");
    for (int i = 0; options_flag_row(i, &flag); i++) {
        printf(".TP\n");
        if (flag.letter) {
            printf("\\fB\\-%c\\fR, ", flag.letter);
        }
        put_line("\\fB\\-\\-", flag.name, "\\fR");
        if (flag.value) {
            put_line(" \\fI", flag.value, "\\fR");
        }
        put_line("\n", flag.help, ".\n");
        put_places(i);
    }
}

static void put_statuses(void)
{
    printf(".SH EXIT STATUS\n");
    for (int i = 0; i < (int)(sizeof STATUSES / sizeof STATUSES[0]); i++) {
        printf(".TP\n%d\n", STATUSES[i].status);
        put_line("", STATUSES[i].meaning, ".\n");
    }
}

void pages_man(const char *date)
{
    printf(".\\\" Made from the program's table of commands and options.\n"
           ".TH THAWPRINT 1 %s \"thawprint %s\" \"User commands\"\n"
           ".SH NAME\nthawprint \\- forecast of cloth dyed with ice and dye powder\n",
           date, thaw_version());
    put_synopsis();
    printf(".SH DESCRIPTION\n"
           "Ice is heaped on damp, folded cloth soaked in soda ash, and dye powder\n"
           "sprinkled over it; the melt carries the colour through the layers.\n"
           "From cloth, fold, ice, dye and room, written down in a short text file\n"
           "(a \\fIscenario\\fR), \\fBthawprint\\fR computes how the cloth may come out:\n"
           "pictures of it wet and dry, the time until the ice is gone, how long to\n"
           "leave it, and where the dye ends up.\n"
           ".PP\nAny option may stand before or behind the command and its operands;\n"
           "\\-\\- ends the options.\n");
    put_commands();
    put_options();
    put_statuses();
    printf(".SH ENVIRONMENT\n.TP\n.B OMP_WAIT_POLICY\n"
           "Set it to \\fIpassive\\fR on a busy machine, or the threads wait by\n"
           "spinning and a run takes several times longer.\n"
           ".SH CAUTIONS\n"
           "Dye powder is a respiratory sensitiser: wear a respirator mask and gloves\n"
           "while any of it is dry.\nSoda ash irritates skin and eyes.\n"
           "The supplier's safety data sheet decides.\n"
           ".SH SEE ALSO\n"
           "The manual and example scenarios are in the folders \\fIthawprint\\fR below\n"
           "\\fIshare/doc\\fR and \\fIshare\\fR of the place where the program was installed.\n");
}
