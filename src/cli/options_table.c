#include "options_table.h"

#include <stdio.h>
#include <string.h>

const flag FLAGS[] = {
    {"help", 'h', NULL, P | C | L | G | V | STRIP | RECORD | PIECES | NOTEBOOK | LEARN | BORDER | SUPPLIES | NO_COMMAND, "show this help"},
    {"version", 'V', NULL, P | C | L | G | V | STRIP | RECORD | PIECES | NOTEBOOK | LEARN | BORDER | SUPPLIES | NO_COMMAND, "show the version"},
    {"quiet", 'q', NULL, P | C | G | V | STRIP | RECORD | PIECES | NOTEBOOK | LEARN | BORDER | SUPPLIES, "print only the folder, or only faults"},
    {"verbose", 'v', NULL, P | L, "print more: water, heat, soda and dye ledgers; or each figure's source"},
    {"output", 'o', "DIR", P | G | V | STRIP | PIECES | NOTEBOOK | LEARN | BORDER | SUPPLIES, "folder for the files (default: under out/, named after the scenario); of a notebook the page"},
    {"dry-run", 'n', NULL, P | PIECES, "show every resolved value, grid, memory and time (pieces: whether all fits); run nothing"},
    {"seed", KEY_SEED, "N", P | C | V | PIECES | NOTEBOOK | BORDER | SUPPLIES, "another roll of the dice (whole number)"},
    {"threads", KEY_THREADS, "N", P | G | V | PIECES | NOTEBOOK | LEARN | BORDER | SUPPLIES, "threads, 1 to 64 (default: all); the result is the same"},
    {"detail", KEY_DETAIL, "WORD", P | C | V | PIECES | NOTEBOOK | BORDER | SUPPLIES, "draft, normal or fine: cells of 4, 2 or 1 mm"},
    {"cloths", KEY_CLOTHS, "FILE", P | C | L | V | STRIP | PIECES | NOTEBOOK | BORDER | SUPPLIES, "cloths of your own (default: cloths.yaml beside the scenario)"},
    {"dyes", KEY_DYES, "FILE", P | C | L | V | PIECES | NOTEBOOK | BORDER | SUPPLIES, "dyes and mixtures of your own (default: dyes.yaml beside it)"},
    {"kitchen", KEY_KITCHEN, "FILE", P | C | V | PIECES | NOTEBOOK | BORDER | SUPPLIES, "what `learn` found of your kitchen; applied only if named, and said so"},
    {"swatches", KEY_SWATCHES, "FILE", L, "draw all colours at four depths as a PNG"},
    {"cloth", KEY_CLOTH, "NAME", L | STRIP, "cloth of the swatches (default: cotton twill); cloth that the strip is like"},
    {"name", KEY_NAME, "NAME", STRIP, "what to call your cloth (default: my and the name after --cloth)"},
    {"water", KEY_WATER, "TEMP", STRIP, "how warm the water was, as '12 degC' (default: 20 degC)"},
    {"along", KEY_ALONG, "WORD", STRIP, "warp or weft: which way the strip was cut (default: warp)"},
    {"melted", KEY_MELTED, "TIME", RECORD, "when the last ice was gone, as '6 h'"},
    {"rinsed", KEY_RINSED, "TIME", RECORD, "when it was rinsed, as '20 h'"},
    {"climbed", KEY_CLIMBED, "LENGTH", RECORD, "how far dye got beyond the ice along cloth that hung, as '35 cm'"},
    {"white", KEY_WHITE, "SHARE", RECORD, "how much of the dry cloth looks undyed, as '12 %'"},
    {"remark", KEY_REMARK, "TEXT", RECORD, "whatever you want to remember; again adds a line"},
    {"photo", KEY_PHOTO, "FILE", RECORD, "a JPEG or PNG of the dry cloth"},
    {"corners", KEY_CORNERS, "PLACES", RECORD, "x,y of the cloth's corners in it: top left, top right, bottom right, bottom left"},
    {"white-at", KEY_WHITE_AT, "PLACE", RECORD, "x,y of undyed cloth in it, to balance its colours"},
    {"chances", KEY_CHANCES, "N", P | V | PIECES | NOTEBOOK | BORDER | SUPPLIES, "N throws of the dice, inputs as unsure as they are (border: 24 unless given)"},
    {"only-luck", KEY_ONLY_LUCK, NULL, P | V | PIECES | NOTEBOOK | SUPPLIES, "with --chances: only the dice differ, not room, ice, cloth and dye"},
    {"without-ranges", KEY_WITHOUT_RANGES, NULL, P | NOTEBOOK, "leave out the runs behind the ranges in brackets: faster"},
    {"vary", KEY_VARY, "KEY=A,B", V, "compare one scenario with KEY set to A, B, ...; twice for a grid"},
    {"start", KEY_START, "TIME", SUPPLIES, "when you begin, as \"Sat 09:00\": the timetable is told by the clock"},
    {"packets", KEY_PACKETS, "LIST", SUPPLIES, "sizes you can buy, with prices if you like: \"10 g = 3.20, 25 g = 6.90\""},
    {"end", KEY_END, "HEIGHT", BORDER, "where the dye is to end, along the cloth from its dyed end: \"40 cm\""},
    {"sure", KEY_SURE, "SHARE", BORDER, "how sure it is to end there or before: 50 % to 95 % (default: 80 %)"},
    {"part", KEY_PART, "K/N", P, "with --chances: run the K-th of N parts only; `gather` joins them"},
    {"frames", KEY_FRAMES, "N", P | NOTEBOOK, "N pictures of the melt through time, up to 48; 0: none (notebook: 24)"},
    {"date", KEY_DATE, "TEXT", NOTEBOOK, "date on the page (default: today; none: a line to write it on)"},
    {"take-out", KEY_TAKE_OUT, NULL, NOTEBOOK, "write the scenario that a page holds into the folder -o"},
    {"pattern", KEY_PATTERN, "FILE", PIECES, "the pattern: YAML, or an SVG drawing at real size"},
    {"wish", KEY_WISH, "PIECE=WISH", PIECES, "white, coloured, hem, even, match, a colour or #rrggbb; once for each piece"},
    {"paper", KEY_PAPER, "WORD", PIECES, "a4 or letter (default: a4)"},
    {"one-way", KEY_ONE_WAY, NULL, PIECES, "nap or print: lay all pieces the same way up"},
    {"json", KEY_JSON, NULL, P | G | V | STRIP | RECORD | PIECES | NOTEBOOK | LEARN | BORDER | SUPPLIES, "print the figures as JSON"},
};
const int N_FLAGS = (int)(sizeof FLAGS / sizeof FLAGS[0]);
_Static_assert(sizeof FLAGS / sizeof FLAGS[0] <= MOST_FLAGS, "room in the parser");

const command COMMANDS[] = {
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
    {"pieces", COMMAND_PIECES, PIECES, "pattern pieces on the forecast cloth, each where it suits best", "SCENARIO --pattern FILE",
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
    {"notebook", COMMAND_NOTEBOOK, NOTEBOOK, "one page for the project notebook, to keep and to print", "SCENARIO | FOLDER",
     "  thawprint notebook my.yaml                       run it, and make out/my/notebook.html\n"
     "  thawprint notebook out/my                        from what preview wrote there\n"
     "  thawprint notebook --chances 12 -o page.html my.yaml\n"
     "  thawprint notebook --take-out page.html -o again the scenario back from a page\n"},
    {"border", COMMAND_BORDER, BORDER, "how far up hanging cloth the ice may reach, so that dye ends at a wanted height", "SCENARIO",
     "  thawprint border --end \"40 cm\" my.yaml               no farther than 40 cm, in 80 of 100 cases\n"
     "  thawprint border --end \"16 in\" --sure \"90 %\" my.yaml  in 90 of 100 cases\n"
     "  thawprint border --end \"40 cm\" --chances 40 my.yaml  from more runs: slower, surer\n\n"
     "Heights are measured along the cloth from its dyed end, which lies under the ice; the rest hangs: in the file\n"
     "`hang: { from: 25 cm, up: 15 cm, down: 10 cm }`. Takes a few minutes.\n"},
    {"supplies", COMMAND_SUPPLIES, SUPPLIES, "what to weigh out and when to do what, with cautions", "SCENARIO",
     "  thawprint supplies my.yaml                         what to buy and weigh, how long it takes\n"
     "  thawprint supplies --start \"Sat 09:00\" my.yaml     the same by the clock\n"
     "  thawprint supplies --packets \"10 g = 3.20, 25 g = 6.90\" my.yaml\n"
     "  thawprint supplies --chances 24 --detail draft my.yaml   times as `preview --chances 24` has them\n"},
    {"gather", COMMAND_GATHER, G, "join parts of a set of chances that ran apart", "FOLDER...",
     "  thawprint preview --chances 24 --part 1/2 -o out/a my.yaml    on one machine\n"
     "  thawprint preview --chances 24 --part 2/2 -o out/b my.yaml    on another\n"
     "  thawprint gather out/a out/b -o out/both\n"},
    {"strip", COMMAND_STRIP, STRIP, "readings of a wicking strip test -> your own cloth", "READINGS",
     "  thawprint strip readings.csv --cloth 'cotton single jersey'       what yours is most like\n"
     "  thawprint strip readings.csv --cloth linen --name 'sail canvas' --water '12 degC' --along weft\n"},
    {"record", COMMAND_RECORD, RECORD, "what really happened, kept beside the forecast", "FOLDER",
     "  thawprint record out/moon-scarf --melted '6 h' --rinsed '20 h' --white '12 %'\n"
     "  thawprint record out/moon-scarf --photo scarf.jpg --corners 120,80,1900,95,1870,1480,140,1450 --white-at 2010,300\n"
     "  thawprint record out/moon-scarf                  forecast beside what was recorded\n"},
    {"learn", COMMAND_LEARN, LEARN, "recorded runs -> what your own kitchen does otherwise", "FOLDER...",
     "  thawprint learn out/moon-scarf out/gull-cloth out/starfish    writes out/kitchen/kitchen.yaml\n"
     "  thawprint preview --kitchen out/kitchen/kitchen.yaml my.yaml  uses it, and says so\n"},
    {"check", COMMAND_CHECK, C, "check scenarios and show every resolved value", "SCENARIO...",
     "  thawprint check my.yaml                one scenario\n"
     "  thawprint check -q scenarios/*.yaml    only faults\n"},
    {"list", COMMAND_LIST, L, "cloths, fibres, colours, dyes, ices, folds, areas, shapes, set-ups, wishes", "[WHAT...]",
     "  thawprint list            everything\n"
     "  thawprint list colours    one table\n"
     "  thawprint list -v cloths  each figure with unit, condition and source\n"
     "  thawprint list colours --swatches card.png --cloth 'silk habotai'\n"},
};
const int N_COMMANDS = (int)(sizeof COMMANDS / sizeof COMMANDS[0]);
_Static_assert(sizeof COMMANDS / sizeof COMMANDS[0] <= MOST_COMMANDS, "room in the parser");

const command *find_command(command_id id)
{
    for (int i = 0; i < N_COMMANDS; i++) {
        if (COMMANDS[i].id == id) {
            return &COMMANDS[i];
        }
    }
    return NULL;
}

const flag *find_flag(int key)
{
    for (int i = 0; i < N_FLAGS; i++) {
        if (FLAGS[i].key == key) {
            return &FLAGS[i];
        }
    }
    return NULL;
}

static void print_flag(const flag *f)
{
    char left[40], letter[8] = "    ";
    if (f->key < 256) {
        snprintf(letter, sizeof letter, "-%c, ", f->key);
    }
    snprintf(left, sizeof left, "%s--%s%s%s", letter, f->name, f->value ? " " : "",
             f->value ? f->value : "");
    printf("  %-22s %s\n", left, f->help);
}

void options_help(command_id id)
{
    const command *found = find_command(id);
    printf("Examples:\n");
    if (found) {
        printf("%s\nUsage: thawprint %s [options] %s\n  %s\n", found->examples, found->name,
               found->operands, found->does);
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
        if (FLAGS[i].where & (found ? found->bit : NO_COMMAND)) {
            print_flag(&FLAGS[i]);
        }
    }
    if (!found) {
        printf("\n`thawprint COMMAND --help` shows the options of a command.\n");
    }
}

void options_want_command(void)
{
    fprintf(stderr, "thawprint: a command is wanted: ");
    for (int i = 0; i < N_COMMANDS; i++) {
        fprintf(stderr, "%s%s", i == 0 ? "" : i + 1 < N_COMMANDS ? ", " : " or ", COMMANDS[i].name);
    }
    fprintf(stderr, "; see `thawprint --help`\n");
}

bool options_command_row(int i, command_row *out)
{
    if (i < 0 || i >= N_COMMANDS) {
        return false;
    }
    *out = (command_row){COMMANDS[i].name, COMMANDS[i].does, COMMANDS[i].operands, COMMANDS[i].examples};
    return true;
}

bool options_flag_row(int i, flag_row *out)
{
    if (i < 0 || i >= N_FLAGS) {
        return false;
    }
    char letter = FLAGS[i].key < 256 ? (char)FLAGS[i].key : '\0';
    *out = (flag_row){FLAGS[i].name, letter, FLAGS[i].value, FLAGS[i].help};
    return true;
}

bool options_flag_fits(int f, int c)
{
    return (FLAGS[f].where & (c < 0 ? NO_COMMAND : COMMANDS[c].bit)) != 0;
}
