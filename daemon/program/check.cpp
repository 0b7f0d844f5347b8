#include "exit_code.hpp"
#include "files.hpp"
#include "verbs.hpp"

#include <slotwitness/marked/legible.hpp>
#include <slotwitness/pack/check.hpp>

#include <nlohmann/json.hpp>

#include <algorithm>
#include <iostream>
#include <memory>

namespace slotwitness::program {

namespace {

using marked::legible;
using Checked = std::vector<pack::AnswerCheck>;

/// A file that cannot be read stands in the way of all else; 66 is told before 65.
int code_of(const std::vector<pack::PackError>& errors) {
    const bool missing = std::any_of(errors.begin(), errors.end(), [](const auto& error) {
        return error.kind == pack::PackError::Kind::missing;
    });
    return missing ? exit_no_input : exit_bad_data;
}

int worse(int one, int other) {
    return std::max(one, other);
}

/// The profile that the pack was captured with, as this version reads it.
tl::expected<std::shared_ptr<const profiles::Profile>, std::vector<pack::PackError>>
own_profile(const pack::Pack& pack, const std::string& folder) {
    auto profile = profiles::parse_profile(pack.profile, folder + "/profile.toml");
    if (profile)
        return std::make_shared<const profiles::Profile>(std::move(*profile));
    std::vector<pack::PackError> errors;
    for (const state::Problem& problem : profile.error())
        errors.push_back({pack::PackError::Kind::damaged, state::to_text(problem)});
    return tl::unexpected(std::move(errors));
}

tl::expected<Checked, std::vector<pack::PackError>>
check_pack(const pack::Pack& pack, std::shared_ptr<const profiles::Profile> profile,
           const std::string& folder) {
    if (!profile) {
        auto own = own_profile(pack, folder);
        if (!own)
            return tl::unexpected(std::move(own.error()));
        profile = std::move(*own);
    }
    auto checked = pack::check(pack, *profile);
    if (checked)
        return std::move(*checked);
    return tl::unexpected(std::vector<pack::PackError>{std::move(checked.error())});
}

bool same(const Checked& answers) {
    return std::all_of(answers.begin(), answers.end(),
                       [](const auto& answer) { return answer.changes.empty(); });
}

void print(const std::string& folder, const pack::Pack& pack, const Checked& answers) {
    std::cout << folder << ": " << legible(pack.chassis).text << ", captured "
              << legible(pack.captured).text << '\n';
    std::size_t width = 0;
    for (const auto& answer : answers)
        width = std::max(width, answer.asking.size());
    for (const auto& answer : answers) {
        std::cout << "  " << answer.asking << std::string(width - answer.asking.size(), ' ');
        if (answer.changes.empty()) {
            std::cout << "  same, " << answer.rows << (answer.rows == 1 ? " row\n" : " rows\n");
            continue;
        }
        std::cout << "  DIFFERENT, in answers/" << answer.capture << '\n';
        for (const pack::Change& change : answer.changes) {
            std::cout << "      ";
            if (change.at.line > 0)
                std::cout << change.at.line << ':' << change.at.column << ": ";
            std::cout << legible(to_text(change)).text << '\n';
        }
    }
}

nlohmann::json report_of(const std::string& folder, const pack::Pack& pack,
                         const Checked& answers) {
    nlohmann::json told = nlohmann::json::array();
    for (const auto& answer : answers) {
        nlohmann::json changes = nlohmann::json::array();
        for (const pack::Change& change : answer.changes)
            changes.push_back({{"what", pack::to_word(change.what)},
                               {"line", change.at.line},
                               {"column", change.at.column},
                               {"component", change.component},
                               {"attribute", change.attribute},
                               {"from", change.from},
                               {"to", change.to}});
        told.push_back({{"query", answer.asking},
                        {"capture", answer.capture},
                        {"same", answer.changes.empty()},
                        {"changes", changes}});
    }
    return {{"pack", folder},
            {"chassis", pack.chassis},
            {"captured", pack.captured},
            {"same", same(answers)},
            {"answers", told}};
}

nlohmann::json report_of(const std::string& folder, const std::vector<pack::PackError>& errors) {
    nlohmann::json told = nlohmann::json::array();
    for (const pack::PackError& error : errors)
        told.push_back(error.text);
    return {{"pack", folder}, {"same", false}, {"errors", told}};
}

} // namespace

int check_packs(const ReadOptions& options) {
    std::shared_ptr<const profiles::Profile> other;
    if (!options.profile.empty()) {
        auto loaded = load_profile(options.profile);
        if (!loaded)
            return loaded.error();
        other = std::move(*loaded);
    }
    int code = exit_pass;
    nlohmann::json all = nlohmann::json::array();
    const auto fail = [&](const std::string& folder, const std::vector<pack::PackError>& errors) {
        for (const pack::PackError& error : errors)
            std::cerr << "slotwitness: " << legible(error.text).text << '\n';
        all.push_back(report_of(folder, errors));
        code = worse(code, code_of(errors));
    };
    for (const std::string& folder : options.files) {
        const auto pack = pack::open(folder);
        if (!pack) {
            fail(folder, pack.error());
            continue;
        }
        const auto checked = check_pack(*pack, other, folder);
        if (!checked) {
            fail(folder, checked.error());
            continue;
        }
        if (!same(*checked))
            code = worse(code, exit_bad_data);
        if (options.json)
            all.push_back(report_of(folder, *pack, *checked));
        else
            print(folder, *pack, *checked);
    }
    if (options.json)
        std::cout << all.dump(2, ' ', false, nlohmann::json::error_handler_t::replace) << '\n';
    return code;
}

} // namespace slotwitness::program
