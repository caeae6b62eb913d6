# Turns a text file into a C array: cmake -DIN=file -DOUT=file.c -P embed.cmake
file(READ ${IN} HEX HEX)
string(REGEX REPLACE "([0-9a-f][0-9a-f])" "0x\\1," BYTES "${HEX}")
file(WRITE ${OUT} "/* Made from the demo scenario. */\n#include \"scenario/demo_text.h\"\nconst char thaw_demo_text[] = {${BYTES}0x00};\n")
