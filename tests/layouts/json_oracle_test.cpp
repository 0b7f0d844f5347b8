#include "sheet.hpp"

#include <slotwitness/layouts/json.hpp>

#include <gmock/gmock.h>
#include <nlohmann/json.hpp>
#include <rapidcheck.h>

#include <array>
#include <cstdio>
#include <memory>
#include <optional>
#include <string>
#include <vector>

/// The layout beside nlohmann_json's own reading of the same bytes into a tree, by the library's
/// own JSON Pointers.
namespace slotwitness::layouts {
namespace {

using nlohmann::json;

std::optional<std::string> output_of(const std::string& command) {
    const auto close = [](std::FILE* pipe) { return pclose(pipe); };
    std::unique_ptr<std::FILE, decltype(close)> pipe{
        popen(("LC_ALL=C.UTF-8 " + command + " 2>/dev/null").c_str(), "r"), close};
    if (!pipe)
        return std::nullopt;
    std::string text;
    std::array<char, 4096> buffer{};
    while (const std::size_t size = std::fread(buffer.data(), 1, buffer.size(), pipe.get()))
        text.append(buffer.data(), size);
    return pclose(pipe.release()) == 0 ? std::optional{text} : std::nullopt;
}

std::string text_of(const json& value) {
    return value.is_string() ? value.get<std::string>() : value.is_null() ? "" : value.dump();
}

void expect_same(const std::string& answer, const JsonSpec& how, const json& rows) {
    const Sheet all = sheet_of(read_json, answer, how, true);
    EXPECT_TRUE(all.unread.empty()) << all.unread.front().text;
    ASSERT_EQ(all.blocks.size(), rows.size());
    for (std::size_t i = 0; i < rows.size(); ++i) {
        ASSERT_EQ(all.blocks[i].cells.size(), how.cells.size());
        for (const KeptCell& cell : all.blocks[i].cells)
            EXPECT_EQ(cell.text, text_of(rows[i].at(json::json_pointer{cell.label})));
        EXPECT_EQ(json::parse(all.blocks[i].text), rows[i]) << "a row's text is all of the row";
    }
}

TEST(JsonOracle, disks_of_this_host) {
    const auto answer = output_of("lsblk -J -b -o NAME,SIZE,TYPE,MAJ:MIN");
    if (!answer || answer->empty())
        GTEST_SKIP() << "lsblk does not answer here";
    expect_same(*answer,
                {*parse_pointer("/blockdevices/*", Wildcards::one),
                 {"/name", "/size", "/type", "/maj:min"},
                 {"/blockdevices/*/children"}},
                json::parse(*answer).at("blockdevices"));
}

TEST(JsonOracle, unit_files_of_this_host) {
    const auto answer = output_of("systemctl list-unit-files --full --no-pager -o json");
    if (!answer || answer->empty())
        GTEST_SKIP() << "systemctl does not answer here";
    expect_same(*answer,
                {*parse_pointer("/*", Wildcards::one), {"/unit_file", "/state", "/preset"}, {}},
                json::parse(*answer));
}

/// A tree of few names, so that pointers often meet something.
rc::Gen<json> any_json(int depth) {
    auto scalars = rc::gen::oneOf(
        rc::gen::map(rc::gen::arbitrary<bool>(), [](bool value) { return json(value); }),
        rc::gen::map(rc::gen::arbitrary<int>(), [](int value) { return json(value); }),
        rc::gen::map(rc::gen::elementOf(std::vector<std::string>{"", "FAB3", "a\"b", "\xc3\xa9\\"}),
                     [](const std::string& value) { return json(value); }),
        rc::gen::just(json(nullptr)));
    if (depth == 0)
        return scalars;
    return rc::gen::oneOf(
        scalars,
        rc::gen::map(rc::gen::container<std::vector<json>>(any_json(depth - 1)),
                     [](const std::vector<json>& value) { return json(value); }),
        rc::gen::map(rc::gen::container<std::map<std::string, json>>(
                         rc::gen::elementOf(std::vector<std::string>{"a", "b", "0", "*", "a/b"}),
                         any_json(depth - 1)),
                     [](const std::map<std::string, json>& value) { return json(value); }));
}

TEST(JsonOracle, trees_that_are_drawn) {
    EXPECT_TRUE(rc::check([] {
        const json tree = *rc::gen::resize(
            6, rc::gen::oneOf(any_json(1), rc::gen::map(any_json(3), [](const json& list) {
                                  return json{{"a", list}, {"b", 1}};
                              })));
        const std::string text = tree.dump(*rc::gen::element(-1, 1));
        const JsonSpec how{*parse_pointer("/a/*", Wildcards::one),
                           {"/b", "/a~1b/0", "/a~1b/1", "/*"},
                           {"/*", "/a/*/*"}};
        const Sheet all = sheet_of(read_json, text, how, true);
        const json list = tree.is_object() && tree.contains("a") ? tree.at("a") : json{};
        if (!list.is_structured()) {
            RC_ASSERT(all.blocks.empty());
            RC_ASSERT(!all.unread.empty());
            return;
        }
        std::size_t i = 0;
        for (const json& row : list) {
            RC_ASSERT(i < all.blocks.size());
            const KeptBlock& block = all.blocks[i++];
            for (const std::string& label : how.cells) {
                const json::json_pointer pointer{label};
                // An object's member "0" is named by the token 0 too, as the library's own pointer
                // has it.
                const json value =
                    row.is_structured() && row.contains(pointer) ? row.at(pointer) : json::array();
                const auto found = block.values();
                if (!value.is_structured())
                    RC_ASSERT(found.contains(label) && found.at(label) == text_of(value));
                else
                    RC_ASSERT(value.is_array() || !found.contains(label));
            }
        }
        RC_ASSERT(i == all.blocks.size());
    }));
}

} // namespace
} // namespace slotwitness::layouts
