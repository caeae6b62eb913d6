#include "options.h"

#include <getopt.h>
#include <stdio.h>
#include <string.h>

#include <thawprint/chances.h>
#include <thawprint/words.h>

enum { P = 1, C = 2, L = 4, NO_COMMAND = 8, G = 16, V = 32, S = 64 }; /* where a flag belongs */

enum { KEY_SEED = 256, KEY_THREADS, KEY_DETAIL, KEY_JSON, KEY_CLOTHS, KEY_DYES, KEY_SWATCHES, KEY_CLOTH, KEY_CHANCES,
       KEY_PART, KEY_ONLY_LUCK, KEY_VARY, KEY_WITHOUT_RANGES, KEY_PATTERN, KEY_PAPER, KEY_WISH, KEY_ONE_WAY };

static const struct flag {
    const char *name;
    int key; /* the short letter, if below 256 */
    const char *value;
    int where;
    const char *help;
} FLAGS[] = {
    {"help", 'h', NULL, P | C | L | G | V | S | NO_COMMAND, "show this help"},
    {"version", 'V', NULL, P | C | L | G | V | S | NO_COMMAND, "show the version"},
    {"quiet", 'q', NULL, P | C | G | V | S, "print only the folder, or only faults"},
    {"verbose", 'v', NULL, P | L, "print more: water, heat, soda and dye ledgers; or each figure's source"},
    {"output", 'o', "DIR", P | G | V | S, "folder for the files (default: under out/, named after the scenario)"},
    {"dry-run", 'n', NULL, P | S, "show every resolved value, grid, memory and time (pieces: whether all fits); run nothing"},
    {"seed", KEY_SEED, "N", P | C | V | S, "another roll of the dice (whole number)"},
    {"threads", KEY_THREADS, "N", P | G | V | S, "threads, 1 to 64 (default: all); the result is the same"},
    {"detail", KEY_DETAIL, "WORD", P | C | V | S, "draft, normal or fine: cells of 4, 2 or 1 mm"},
    {"cloths", KEY_CLOTHS, "FILE", P | C | L | V | S, "cloths of your own (default: cloths.yaml beside the scenario)"},
    {"dyes", KEY_DYES, "FILE", P | C | L | V | S, "dyes and mixtures of your own (default: dyes.yaml beside it)"},
    {"swatches", KEY_SWATCHES, "FILE", L, "draw all colours at four depths as a PNG"},
    {"cloth", KEY_CLOTH, "NAME", L, "cloth of the swatches (default: cotton twill)"},
    {"chances", KEY_CHANCES, "N", P | V | S, "N throws of the dice, inputs as unsure as they are: typical outcome, others, maps"},
    {"only-luck", KEY_ONLY_LUCK, NULL, P | V | S, "with --chances: only the dice differ, not room, ice, cloth and dye"},
    {"without-ranges", KEY_WITHOUT_RANGES, NULL, P, "leave out the runs behind the ranges in brackets: faster"},
    {"vary", KEY_VARY, "KEY=A,B", V, "compare one scenario with KEY set to A, B, ...; twice for a grid"},
    {"part", KEY_PART, "K/N", P, "with --chances: run the K-th of N parts only; `gather` joins them"},
    {"pattern", KEY_PATTERN, "FILE", S, "the pattern: YAML, or an SVG drawing at real size"},
    {"wish", KEY_WISH, "PIECE=WISH", S, "white, coloured, hem, even, match, a colour or #rrggbb; once for each piece"},
    {"paper", KEY_PAPER, "WORD", S, "a4 or letter (default: a4)"},
    {"one-way", KEY_ONE_WAY, NULL, S, "nap or print: lay all pieces the same way up"},
    {"json", KEY_JSON, NULL, P | G | V | S, "print the figures as JSON"},
};
#define N_FLAGS ((int)(sizeof FLAGS / sizeof FLAGS[0]))

static const struct command {
    const char *name;
    command_id id;
    int bit;
    const char *does, *operands, *examples;
} COMMANDS[] = {
    {"preview", COMMAND_PREVIEW, P, "one scenario -> pictures, melt time, figures", "[SCENARIO]",
     "  thawprint preview                                the built-in demo\n"
     "  thawprint preview scenarios/moon-scarf.yaml      one scenario\n"
     "  thawprint preview --seed 8 -o out/again my.yaml  another roll of the dice\n"
     "  thawprint preview -n my.yaml                     what would be run\n"
     "  thawprint preview --chances 24 --detail draft my.yaml   what is sure and what is luck\n"},
    {"compare", COMMAND_COMPARE, V, "scenarios side by side: what a choice changes, and what is chance", "SCENARIO...",
     "  thawprint compare one.yaml two.yaml                        two recipes\n"
     "  thawprint compare my.yaml --vary ice.kind=crushed,block    one recipe, one thing varied\n"
     "  thawprint compare my.yaml --vary 'fold.scrunch.to=30 %,60 %' --vary ice.kind=crushed,block --chances 12\n"},
    {"pieces", COMMAND_PIECES, S, "pattern pieces on the forecast cloth, each where it suits best", "SCENARIO --pattern FILE",
     "  thawprint pieces my.yaml --pattern gown.yaml              lay, pages to print, a picture of each piece\n"
     "  thawprint pieces my.yaml --pattern gown.yaml -n           does it fit?\n"
     "  thawprint pieces my.yaml --pattern gown.svg --wish sleeve=white --wish skirt=hem --paper letter\n"
     "A pattern in YAML (docs/pieces.md tells all of it, `thawprint list wishes` what one may wish):\n"
     "  unit: cm                 # or mm, in; corners go right and down, the grain runs up and down, the hem is below\n"
     "  seam-allowance: 1 cm     # if it is not in the outlines\n"
     "  pieces:\n"
     "    - { piece: skirt, outline: [[0, 0], [12, 0], [20, 45], [0, 45]], on-fold: left, wish: hem }\n"
     "    - { piece: sleeve, rectangle: [24, 30], cut: 2, mirrored: yes, wish: [white, match] }\n"
     "    - { piece: waistband, rectangle: [4, 40], grain: crosswise }\n"},
    {"gather", COMMAND_GATHER, G, "join parts of a set of chances that ran apart", "FOLDER...",
     "  thawprint preview --chances 24 --part 1/2 -o out/a my.yaml    on one machine\n"
     "  thawprint preview --chances 24 --part 2/2 -o out/b my.yaml    on another\n"
     "  thawprint gather out/a out/b -o out/both\n"},
    {"check", COMMAND_CHECK, C, "check scenarios and show every resolved value", "SCENARIO...",
     "  thawprint check my.yaml                one scenario\n"
     "  thawprint check -q scenarios/*.yaml    only faults\n"},
    {"list", COMMAND_LIST, L, "cloths, fibres, colours, dyes, ices, folds, areas, shapes, set-ups, wishes", "[WHAT...]",
     "  thawprint list            everything\n"
     "  thawprint list colours    one table\n"
     "  thawprint list -v cloths  each figure with unit, condition and source\n"
     "  thawprint list colours --swatches card.png --cloth 'silk habotai'\n"},
};
#define N_COMMANDS ((int)(sizeof COMMANDS / sizeof COMMANDS[0]))

static const struct command *find_command(command_id id)
{
    for (int i = 0; i < N_COMMANDS; i++) {
        if (COMMANDS[i].id == id) {
            return &COMMANDS[i];
        }
    }
    return NULL;
}

static void print_flag(const struct flag *flag)
{
    char left[40], letter[8] = "    ";
    if (flag->key < 256) {
        snprintf(letter, sizeof letter, "-%c, ", flag->key);
    }
    snprintf(left, sizeof left, "%s--%s%s%s", letter, flag->name, flag->value ? " " : "",
             flag->value ? flag->value : "");
    printf("  %-22s %s\n", left, flag->help);
}

void options_help(command_id id)
{
    const struct command *command = find_command(id);
    printf("Examples:\n");
    if (command) {
        printf("%s\nUsage: thawprint %s [options] %s\n  %s\n", command->examples, command->name,
               command->operands, command->does);
    } else {
        printf("  thawprint preview                 try it: the built-in demo\n"
               "  thawprint check my.yaml           what a scenario says\n"
               "  thawprint list colours            what it may say\n\n"
               "Usage: thawprint COMMAND [options] SCENARIO\n\nCommands:\n");
        for (int i = 0; i < N_COMMANDS; i++) {
            printf("  %-10s %s\n", COMMANDS[i].name, COMMANDS[i].does);
        }
    }
    printf("\nOptions:\n");
    for (int i = 0; i < N_FLAGS; i++) {
        if (FLAGS[i].where & (command ? command->bit : NO_COMMAND)) {
            print_flag(&FLAGS[i]);
        }
    }
    if (!command) {
        printf("\n`thawprint COMMAND --help` shows the options of a command.\n");
    }
}

static bool fault(const char *what, const char *word, const char *near, const char *mark)
{
    fprintf(stderr, "thawprint: %s `%.60s`", what, word);
    if (near) {
        fprintf(stderr, "; did you mean `%s%s`?\n", mark, near);
    } else {
        fprintf(stderr, "; see `thawprint --help`\n");
    }
    return false;
}

static bool unknown_flag(const char *word)
{
    const char *names[N_FLAGS];
    for (int i = 0; i < N_FLAGS; i++) {
        names[i] = FLAGS[i].name;
    }
    char bare[64];
    snprintf(bare, sizeof bare, "%s", word + strspn(word, "-"));
    bare[strcspn(bare, "=")] = '\0';
    return fault("there is no flag", word, thaw_words_nearest(bare, names, N_FLAGS), "--");
}

static bool choose_command(const char *word, options *out)
{
    const char *names[N_COMMANDS];
    for (int i = 0; i < N_COMMANDS; i++) {
        names[i] = COMMANDS[i].name;
        if (strcmp(word, names[i]) == 0) {
            out->command = COMMANDS[i].id;
            return true;
        }
    }
    return fault("there is no command", word, thaw_words_nearest(word, names, N_COMMANDS), "");
}

static bool parse_whole(const char *text, uint64_t *value)
{
    uint64_t sum = 0;
    const char *at = text;
    for (; *at >= '0' && *at <= '9'; at++) {
        uint64_t digit = (uint64_t)(*at - '0');
        if (sum > (UINT64_MAX - digit) / 10) {
            return false;
        }
        sum = sum * 10 + digit;
    }
    *value = sum;
    return at > text && *at == '\0';
}

static bool set_threads(const char *text, options *out)
{
    uint64_t n = 0;
    if (!parse_whole(text, &n) || n < 1 || n > 64) {
        fprintf(stderr, "thawprint: --threads `%.40s`: a whole number from 1 to 64 is wanted\n",
                text);
        return false;
    }
    out->threads = (int)n;
    return true;
}

static bool set_chances(const char *text, options *out)
{
    uint64_t n = 0;
    if (!parse_whole(text, &n) || n < 2 || n > THAW_CHANCES_MOST) {
        fprintf(stderr, "thawprint: --chances `%.40s`: a whole number from 2 to %d is wanted\n", text, THAW_CHANCES_MOST);
        return false;
    }
    out->chances = (int)n;
    return true;
}

static bool set_part(const char *text, options *out)
{
    char first[24];
    const char *slash = strchr(text, '/');
    uint64_t part = 0, n = 0;
    snprintf(first, sizeof first, "%.*s", slash ? (int)(slash - text) : 0, text);
    if (!slash || !parse_whole(first, &part) || !parse_whole(slash + 1, &n) || part < 1 || part > n || n > THAW_CHANCES_MOST) {
        fprintf(stderr, "thawprint: --part `%.40s`: K/N is wanted, K from 1 to N, as 2/3\n", text);
        return false;
    }
    out->part = (int)part;
    out->n_parts = (int)n;
    return true;
}

static bool set_seed(const char *text, options *out)
{
    if (!parse_whole(text, &out->seed)) {
        fprintf(stderr, "thawprint: --seed `%.40s`: a whole number from 0 is wanted\n", text);
        return false;
    }
    out->seed_given = true;
    return true;
}

static bool set_detail(const char *text, options *out)
{
    static const char *const words[] = {"draft", "normal", "fine"};
    for (int i = 0; i < 3; i++) {
        if (strcmp(text, words[i]) == 0) {
            out->detail = words[i];
            return true;
        }
    }
    const char *near = thaw_words_nearest(text, words, 3);
    fprintf(stderr, "thawprint: --detail `%.40s` is not draft, normal or fine%s%s%s\n", text,
            near ? "; did you mean `" : "", near ? near : "", near ? "`?" : "");
    return false;
}

static bool set_paper(const char *text, options *out)
{
    if (strcmp(text, "a4") != 0 && strcmp(text, "letter") != 0) {
        fprintf(stderr, "thawprint: --paper `%.40s` is not a4 or letter\n", text);
        return false;
    }
    out->paper = text;
    return true;
}

static bool add_wish(const char *text, options *out)
{
    const char *equals = strchr(text, '=');
    if (!equals || equals == text || equals[1] == '\0') {
        fprintf(stderr, "thawprint: --wish `%.60s`: PIECE=WISH is wanted, as sleeve=white\n", text);
        return false;
    }
    if (out->n_wishes == MOST_WISHES) {
        fprintf(stderr, "thawprint: --wish: more than %d\n", MOST_WISHES);
        return false;
    }
    out->wishes[out->n_wishes++] = text;
    return true;
}

static bool set_flag(int key, const char *value, options *out)
{
    switch (key) {
    case 'h':
        out->help = true;
        return true;
    case 'V':
        out->version = true;
        return true;
    case 'q':
        out->quiet = true;
        return true;
    case 'v':
        out->verbose = true;
        return true;
    case 'n':
        out->dry_run = true;
        return true;
    case 'o':
        out->out_dir = value;
        return true;
    case KEY_ONLY_LUCK:
        out->only_luck = true;
        return true;
    case KEY_WITHOUT_RANGES:
        out->without_ranges = true;
        return true;
    case KEY_VARY:
        if (out->n_vary == 2) {
            fprintf(stderr, "thawprint: --vary: two keys at most\n");
            return false;
        }
        out->vary[out->n_vary++] = value;
        return true;
    case KEY_PATTERN:
        out->pattern = value;
        return true;
    case KEY_PAPER:
        return set_paper(value, out);
    case KEY_ONE_WAY:
        out->one_way = true;
        return true;
    case KEY_WISH:
        return add_wish(value, out);
    case KEY_CHANCES:
        return set_chances(value, out);
    case KEY_PART:
        return set_part(value, out);
    case KEY_JSON:
        out->json = true;
        return true;
    case KEY_CLOTHS:
        out->cloths = value;
        return true;
    case KEY_DYES:
        out->dyes = value;
        return true;
    case KEY_SWATCHES:
        out->swatches = value;
        return true;
    case KEY_CLOTH:
        out->cloth = value;
        return true;
    case KEY_SEED:
        return set_seed(value, out);
    case KEY_THREADS:
        return set_threads(value, out);
    default:
        return set_detail(value, out);
    }
}

static bool add_operand(const char *word, options *out)
{
    if (out->command == COMMAND_NONE) {
        return choose_command(word, out);
    }
    if (out->n_operands == MOST_OPERANDS) {
        fprintf(stderr, "thawprint: more than %d files\n", MOST_OPERANDS);
        return false;
    }
    out->operands[out->n_operands++] = word;
    return true;
}

static const struct flag *find_flag(int key)
{
    for (int i = 0; i < N_FLAGS; i++) {
        if (FLAGS[i].key == key) {
            return &FLAGS[i];
        }
    }
    return NULL;
}

/* getopt's view of the table. A leading - hands operands over in order, whatever the environment
 * says; : tells a missing value from an unknown flag. */
static void build_getopt(struct option *longs, char *shorts)
{
    *shorts++ = '-';
    *shorts++ = ':';
    for (int i = 0; i < N_FLAGS; i++) {
        bool takes = FLAGS[i].value != NULL;
        longs[i] = (struct option){FLAGS[i].name, takes ? required_argument : no_argument, NULL,
                                   FLAGS[i].key};
        if (FLAGS[i].key < 256) {
            *shorts++ = (char)FLAGS[i].key;
            if (takes) {
                *shorts++ = ':';
            }
        }
    }
    longs[N_FLAGS] = (struct option){0};
    *shorts = '\0';
}

static bool bad_flag(int key, char **argv)
{
    const struct flag *flag = find_flag(optopt);
    if (key == ':' && flag) {
        fprintf(stderr, "thawprint: --%s wants a value: --%s %s\n", flag->name, flag->name,
                flag->value);
        return false;
    }
    if (flag && strchr(argv[optind - 1], '=')) {
        fprintf(stderr, "thawprint: --%s takes no value\n", flag->name);
        return false;
    }
    char letter[3] = {'-', (char)optopt, '\0'};
    return unknown_flag(optopt > 0 && optopt < 256 ? letter : argv[optind - 1]);
}

static bool check_chances(const options *out)
{
    if (out->command != COMMAND_COMPARE && out->command != COMMAND_PIECES && out->chances == 0 && (out->n_parts > 0 || out->only_luck)) {
        fprintf(stderr, "thawprint: --%s goes with --chances\n", out->n_parts > 0 ? "part" : "only-luck");
        return false;
    }
    if (out->n_parts > 0 && out->json) {
        fprintf(stderr, "thawprint: a part of a set has no figures: --json does not go with --part\n");
        return false;
    }
    return true;
}

/* A flag that is known but means nothing to this command is a mistake as well. */
static bool check_places(const bool *seen, const options *out)
{
    const struct command *command = find_command(out->command);
    for (int i = 0; i < N_FLAGS; i++) {
        if (seen[i] && !(FLAGS[i].where & (command ? command->bit : NO_COMMAND))) {
            fprintf(stderr, "thawprint: --%s does not belong to %s\n", FLAGS[i].name,
                    command ? command->name : "thawprint without a command");
            return false;
        }
    }
    return true;
}

bool options_parse(int argc, char **argv, options *out)
{
    struct option longs[N_FLAGS + 1];
    char shorts[3 * N_FLAGS + 3];
    bool seen[N_FLAGS] = {false};
    build_getopt(longs, shorts);
    *out = (options){0};
    opterr = 0;
    for (int key; (key = getopt_long(argc, argv, shorts, longs, NULL)) != -1;) {
        if (key == '?' || key == ':') {
            return bad_flag(key, argv);
        }
        if (key == 1) {
            if (!add_operand(optarg, out)) {
                return false;
            }
            continue;
        }
        const struct flag *flag = find_flag(key);
        seen[flag - FLAGS] = true;
        if (!set_flag(key, optarg, out)) {
            return false;
        }
    }
    for (; optind < argc; optind++) { /* behind -- */
        if (!add_operand(argv[optind], out)) {
            return false;
        }
    }
    return check_places(seen, out) && check_chances(out);
}
