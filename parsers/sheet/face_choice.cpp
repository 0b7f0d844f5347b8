#include "sheet.hpp"

#include <algorithm>

namespace slotwitness::sheet {
namespace {

bool shows(const profiles::Face& face, const std::string& slot) {
    return std::any_of(face.begin(), face.end(), [&](const auto& row) {
        return std::find(row.begin(), row.end(), slot) != row.end();
    });
}

} // namespace

std::optional<Face> face_of(const profiles::Profile& profile,
                            const procedures::FilledProcedure& filled,
                            const std::function<std::string(const std::string& slot)>& label) {
    const auto chosen =
        std::find_if(profile.faces.begin(), profile.faces.end(), [&](const auto& each) {
            return !filled.work_slot || shows(each.second, filled.work_slot->name);
        });
    if (chosen == profile.faces.end())
        return std::nullopt;
    Face face{std::string(to_word(chosen->first)), {}};
    for (const auto& row : chosen->second) {
        auto& slots = face.rows.emplace_back();
        for (const std::string& name : row) {
            std::string printed = name.empty() ? "" : label(name);
            if (printed.empty() && !name.empty())
                printed = profiles::label_of(profile, name);
            slots.push_back({name, std::move(printed)});
        }
    }
    return face;
}

} // namespace slotwitness::sheet
