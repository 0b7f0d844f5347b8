#include "exit_code.hpp"
#include "files.hpp"
#include "print_state.hpp"
#include "verbs.hpp"

#include <nlohmann/json.hpp>

#include <filesystem>
#include <iostream>

namespace slotwitness::program {

int read(const ReadOptions& options) {
    const auto profile = load_profile(options.profile);
    if (!profile)
        return profile.error();
    nlohmann::json all = nlohmann::json::array();
    bool doubts = false;
    for (const std::string& file : options.files) {
        const auto answer = read_file(file);
        if (!answer) {
            std::cerr << "slotwitness: " << answer.error() << '\n';
            return exit_no_input;
        }
        const std::string query =
            options.query.empty() ? std::filesystem::path(file).stem().string() : options.query;
        if (!(*profile)->queries.contains(query)) {
            std::cerr << file << ": the profile has no query \"" << query
                      << "\"; name one with --query\n";
            return exit_usage;
        }
        // A file says nothing of how the transport ended: it is taken as whole.
        const state::Reading reading = profiles::read(**profile, query, *answer, true);
        doubts = doubts || !reading.unread.empty() || !reading.remarks.empty();
        if (options.json) {
            nlohmann::json one = to_json(reading);
            one["file"] = file;
            one["query"] = query;
            all.push_back(std::move(one));
        } else {
            print_rows(std::cout, reading.rows);
            print_doubts(std::cerr, file, reading);
        }
    }
    if (options.json)
        std::cout << all.dump(2, ' ', false, nlohmann::json::error_handler_t::replace) << '\n';
    return doubts ? exit_bad_data : exit_pass;
}

} // namespace slotwitness::program
