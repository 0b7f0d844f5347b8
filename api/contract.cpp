#include "contract.hpp"

namespace slotwitness::api {

Next get_contract(const Request&, const Places&, const desk::Desk&) {
    Response response;
    response.fields = {{"Content-Type", "application/json"}};
    response.body = contract_text();
    return response;
}

} // namespace slotwitness::api
