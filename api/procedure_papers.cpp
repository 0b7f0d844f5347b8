#include "body.hpp"
#include "negotiation.hpp"
#include "problem.hpp"
#include "procedures.hpp"
#include "shown.hpp"

#include <array>

// What of a procedure goes to a printer, or into a ticket.
namespace slotwitness::api {

namespace {

constexpr std::string_view html_type = "text/html";
constexpr std::array card_offers{json_type, html_type, text_type};

/// It holds what people gave, as text; if it were ever more, the browser does nothing with it.
Response page_to_print(std::string page) {
    Response response;
    response.fields = {
        {"Content-Type", "text/html; charset=utf-8"},
        {"Content-Security-Policy",
         "default-src 'none'; style-src 'unsafe-inline'; frame-ancestors 'none'; sandbox"}};
    response.body = std::move(page);
    return response;
}

} // namespace

Next get_sheet(const Request& request, const Places& places, const desk::Desk& desk) {
    const std::string& id = places.front();
    if (!desk.procedure(id))
        return no_such_procedure(request, id);
    auto sheet = desk.run_sheet(id);
    if (!sheet)
        return to_response(to_problem(sheet.error()), request.path);
    return page_to_print(std::move(*sheet));
}

Next get_card(const Request& request, const Places& places, const desk::Desk& desk) {
    const std::string& id = places.front();
    if (!desk.procedure(id))
        return no_such_procedure(request, id);
    const auto type = negotiate(request, card_offers);
    if (!type)
        return not_acceptable(request, "application/json, text/html or text/plain");
    return MakeCard{id, *type == json_type   ? desk::CardForm::json
                        : *type == html_type ? desk::CardForm::page
                                             : desk::CardForm::text};
}

Response card_made(const Request& request, desk::CardForm form,
                   const tl::expected<std::string, desk::Refusal>& made) {
    if (!made)
        return to_response(to_problem(made.error()), request.path);
    Response response;
    switch (form) {
    case desk::CardForm::page:
        response = page_to_print(*made);
        break;
    case desk::CardForm::json:
        response.fields = {{"Content-Type", std::string{json_type}}};
        response.body = *made;
        break;
    case desk::CardForm::text:
        response.fields = {{"Content-Type", "text/plain; charset=utf-8"}};
        response.body = *made;
        break;
    }
    response.fields.push_back({"Vary", "Accept"});
    return response;
}

} // namespace slotwitness::api
