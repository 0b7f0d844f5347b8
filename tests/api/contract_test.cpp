#include <slotwitness/api/contract.hpp>
#include <slotwitness/api/router.hpp>

#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <cctype>
#include <set>

namespace slotwitness::api {
namespace {

using nlohmann::json;

std::string lower_word(Method method) {
    std::string word{to_word(method)};
    std::ranges::transform(word, word.begin(), [](char c) { return std::tolower(c); });
    return word;
}

class contract : public testing::Test {
  protected:
    const json document = json::parse(contract_text());
};

TEST_F(contract, has_every_route_with_its_rights_and_nothing_else) {
    std::set<std::string> described;
    for (const auto& [path, operations] : document["paths"].items())
        for (const auto& [method, operation] : operations.items())
            described.insert(method + ' ' + path);
    for (const Route& route : routes()) {
        const std::string method = lower_word(route.method);
        const std::string pattern{route.pattern};
        SCOPED_TRACE(method + ' ' + pattern);
        ASSERT_TRUE(described.erase(method + ' ' + pattern));
        const json& operation = document["paths"][pattern][method];
        EXPECT_EQ(operation["security"].empty(), !route.roles);
        if (route.roles) {
            std::string roles;
            for (const json& role : operation["security"][0]["token"])
                roles.append(roles.empty() ? "" : ", ").append(role);
            EXPECT_EQ(roles, tokens::to_text(*route.roles));
        }
        const bool takes_page = operation.contains("parameters") &&
                                operation["parameters"].dump().find("/Limit") != std::string::npos;
        EXPECT_EQ(takes_page, route.pages);
        EXPECT_EQ(operation.contains("requestBody"), route.method == Method::post);
    }
    EXPECT_TRUE(described.empty()) << *described.begin();
}

TEST_F(contract, has_an_operation_id_of_its_own_for_each_and_every_reference_leads_somewhere) {
    std::set<std::string> ids;
    std::size_t count = 0;
    for (const auto& [path, operations] : document["paths"].items())
        for (const auto& [method, operation] : operations.items()) {
            ids.insert(operation["operationId"].get<std::string>());
            ++count;
        }
    EXPECT_EQ(ids.size(), count);
    std::size_t references = 0;
    const json flat = document.flatten();
    for (const auto& [pointer, value] : flat.items())
        if (pointer.ends_with("/$ref")) {
            const std::string target = value.get<std::string>();
            ASSERT_TRUE(target.starts_with("#/")) << target;
            EXPECT_TRUE(document.contains(json::json_pointer(target.substr(1)))) << target;
            ++references;
        }
    EXPECT_GT(references, 50);
}

} // namespace
} // namespace slotwitness::api
