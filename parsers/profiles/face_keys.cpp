#include "schema.hpp"

#include <set>

namespace slotwitness::profiles {
namespace {

constexpr std::size_t most_rows = 32;
constexpr std::size_t longest_row = 64;

/// One row: names of slots, "" for a place without one.
std::vector<std::string> read_row(const toml::node& row, const std::string& path,
                                  std::set<std::string>& seen, Problems& problems) {
    std::vector<std::string> names;
    const toml::array* places = row.as_array();
    if (places == nullptr || places->empty() || places->size() > longest_row) {
        problems.add(row, shown(row),
                     "a list of 1 to " + std::to_string(longest_row) + " names of slots",
                     "Write for example [\"LINE1\", \"LINE2\"].");
        return names;
    }
    for (const toml::node& place : *places) {
        const auto name = place.value_exact<std::string>();
        if (!name)
            problems.add(place, shown(place), "the name of a slot in double quotes",
                         "Write it as the device names it; \"\" where there is no slot.");
        else if (!name->empty() && !seen.insert(*name).second)
            problems.add(place, *name, "each slot once in " + path, "Leave one of them out.");
        names.push_back(name.value_or(""));
    }
    return names;
}

Face read_face(const toml::table& table, const std::string& path, Problems& problems) {
    Fields fields{table, path, problems};
    Face face;
    fields.require("rows", "rows = [[\"LINE1\", \"LINE2\"], [\"CTL0\", \"CTL1\"]]");
    if (const toml::node* node = fields.node("rows")) {
        std::set<std::string> seen;
        const toml::array* rows = node->as_array();
        if (rows == nullptr || rows->empty() || rows->size() > most_rows)
            problems.add(
                *node, shown(*node),
                "1 to " + std::to_string(most_rows) + " rows from the top, each a list",
                "Write for example rows = [[\"LINE1\", \"LINE2\"], [\"CTL0\", \"CTL1\"]].");
        else
            for (const toml::node& row : *rows)
                face.push_back(read_row(row, path, seen, problems));
    }
    fields.finish();
    return face;
}

} // namespace

std::map<Side, Face> read_faces(const toml::table& table, Problems& problems) {
    Fields sides{table, "[face]", problems};
    std::map<Side, Face> faces;
    for (const Side side : {Side::front, Side::rear}) {
        const std::string word{to_word(side)};
        if (const toml::table* face = sides.table(word))
            faces[side] = read_face(*face, "[face." + word + "]", problems);
    }
    sides.finish();
    return faces;
}

std::string_view to_word(Side value) {
    switch (value) {
    case Side::front:
        return "front";
    case Side::rear:
        return "rear";
    }
    return "front";
}

std::string label_of(const Profile& profile, std::string_view slot) {
    for (const auto& [kind, components] : profile.stated)
        if (const auto found = components.find(slot); found != components.end())
            if (const auto label = found->second.find(state::Attribute::label);
                label != found->second.end())
                if (const auto* text = std::get_if<std::string>(&label->second))
                    return *text;
    return "";
}

} // namespace slotwitness::profiles
