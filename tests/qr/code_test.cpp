#include "../live/process.hpp"
#include "../twins/folder.hpp"

#include <slotwitness/qr/code.hpp>

#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>

namespace slotwitness::qr {
namespace {

const std::string address = "https://watch.example.net:8443/rack/"
                            "k7fq2mxd#token=sw1.abcdefgh.jkmnpqrstuvwxyz23456789abcdefghj";

/// What a camera would see, as a portable bitmap (PBM, from memory: P1, width, height, 1 is black).
std::string bitmap(const std::vector<std::string>& rows) {
    constexpr std::size_t pixels = 4; // a module
    const std::size_t side = rows.size() * pixels;
    std::string text = "P1\n" + std::to_string(side) + ' ' + std::to_string(side) + '\n';
    for (std::size_t y = 0; y < side; ++y) {
        for (std::size_t x = 0; x < side; ++x)
            text += rows[y / pixels][x / pixels] == '#' ? "1 " : "0 ";
        text += '\n';
    }
    return text;
}

std::vector<std::string> modules_of(const Code& code) {
    std::vector<std::string> rows(code.side(), std::string(code.side(), ' '));
    for (std::size_t y = 0; y < code.side(); ++y)
        for (std::size_t x = 0; x < code.side(); ++x)
            if (code.dark(x, y))
                rows[y][x] = '#';
    return rows;
}

/// The modules that stand on the terminal, drawn from its characters alone.
std::vector<std::string> modules_on_terminal(std::string text) {
    std::vector<std::string> rows;
    for (std::size_t end = 0; (end = text.find('\n')) != std::string::npos;
         text.erase(0, end + 1)) {
        std::string upper, lower, line = text.substr(0, end);
        for (std::size_t at = 0; at < line.size();) {
            if (line[at] == '\x1b') {
                at = line.find('m', at) + 1;
                continue;
            }
            const std::string glyph = line.substr(at, line[at] == ' ' ? 1 : 3);
            upper += glyph == "█" || glyph == "▀" ? '#' : ' ';
            lower += glyph == "█" || glyph == "▄" ? '#' : ' ';
            at += glyph.size();
        }
        rows.push_back(upper);
        rows.push_back(lower);
    }
    while (rows.size() > rows.front().size()) // half of the last line
        rows.pop_back();
    return rows;
}

/// zbarimg of the ZBar project says what is in it.
std::string read_by_another(const std::vector<std::string>& rows) {
    const twins::Folder folder;
    std::ofstream(folder.file("code.pbm")) << bitmap(rows);
    const live::Ran ran =
        live::run({"zbarimg", "--quiet", "--nodbus", "--raw", folder.file("code.pbm")});
    EXPECT_EQ(ran.status, 0) << ran.output;
    return ran.output.substr(0, ran.output.find('\n'));
}

TEST(QrCode, another_program_reads_the_same_address) {
    const auto code = encode(address);
    ASSERT_TRUE(code);
    EXPECT_EQ(read_by_another(modules_of(*code)), address);
}

TEST(QrCode, another_program_reads_what_stands_on_the_terminal) {
    const auto code = encode(address);
    ASSERT_TRUE(code);
    const auto seen = modules_on_terminal(on_terminal(*code));
    EXPECT_EQ(seen, modules_of(*code));
    EXPECT_EQ(read_by_another(seen), address);
}

// ISO/IEC 18004: a symbol of version v has 17 + 4 v modules along an edge; a quiet zone of 4
// surrounds it.
TEST(QrCode, has_the_standards_size_and_quiet_zone) {
    const auto code = encode(address);
    ASSERT_TRUE(code);
    EXPECT_EQ((code->side() - 2 * 4 - 17) % 4, 0U);
    for (std::size_t along = 0; along < code->side(); ++along)
        for (std::size_t deep = 0; deep < 4; ++deep) {
            EXPECT_FALSE(code->dark(along, deep));
            EXPECT_FALSE(code->dark(deep, along));
            EXPECT_FALSE(code->dark(along, code->side() - 1 - deep));
            EXPECT_FALSE(code->dark(code->side() - 1 - deep, along));
        }
    EXPECT_TRUE(code->dark(4, 4)) << "the corner of a finder pattern";
}

TEST(QrCode, its_terminal_lines_set_and_end_their_colours) {
    const auto code = encode("x");
    ASSERT_TRUE(code);
    const std::string text = on_terminal(*code);
    std::size_t lines = 0;
    for (std::size_t at = 0; at < text.size(); at = text.find('\n', at) + 1, ++lines) {
        const std::string line = text.substr(at, text.find('\n', at) - at);
        EXPECT_TRUE(line.starts_with("\x1b[38;5;16;48;5;231m"));
        EXPECT_TRUE(line.ends_with("\x1b[0m"));
    }
    EXPECT_EQ(lines, (code->side() + 1) / 2);
}

TEST(QrCode, its_path_covers_the_dark_modules_and_no_other) {
    const auto code = encode(address);
    ASSERT_TRUE(code);
    std::vector<std::string> drawn(code->side(), std::string(code->side(), ' '));
    std::string path = as_path(*code);
    while (!path.empty()) {
        std::size_t x = 0, y = 0, run = 0, back = 0;
        int used = 0;
        ASSERT_EQ(std::sscanf(path.c_str(), "M%zu %zuh%zuv1h-%zuz%n", &x, &y, &run, &back, &used),
                  4)
            << path;
        ASSERT_EQ(run, back);
        for (std::size_t at = x; at < x + run; ++at)
            drawn.at(y).at(at) = '#';
        path.erase(0, static_cast<std::size_t>(used));
    }
    EXPECT_EQ(drawn, modules_of(*code));
}

TEST(QrCode, refuses_what_no_symbol_holds) {
    EXPECT_FALSE(encode(""));
    EXPECT_FALSE(encode(std::string("a\0b", 3)));
    EXPECT_TRUE(encode(std::string(2331, 'a'))) << "version 40, level M, ISO/IEC 18004 table 7";
    EXPECT_FALSE(encode(std::string(2332, 'a')));
}

} // namespace
} // namespace slotwitness::qr
