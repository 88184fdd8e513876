"""Every address of the server on one page."""

from django.urls import path, register_converter

from shopfloor.approvals import views as approvals
from shopfloor.bikes import views as bikes
from shopfloor.board import views as board
from shopfloor.calculators import views as calculators
from shopfloor.config.converters import DayConverter, Sha256Converter
from shopfloor.config.health import healthz
from shopfloor.desk import number_views as numbers
from shopfloor.desk import offer_views as offers
from shopfloor.desk import session_views as session
from shopfloor.desk import views as desk
from shopfloor.handover import views as handover
from shopfloor.intake import views as intake
from shopfloor.outbox import views as outbox
from shopfloor.sheets import check_views as checks
from shopfloor.sheets import views as sheets
from shopfloor.sync import api, catalogue_api, enrolment_api, photo_api, walk_in_api
from shopfloor.sync import views as bench
from shopfloor.workshop import phone_views as phones
from shopfloor.workshop import views as workshop

register_converter(Sha256Converter, "sha256")
register_converter(DayConverter, "day")

urlpatterns = [
    # The desk
    path("", session.home, name="home"),
    path("sign-in/", session.sign_in, name="sign-in"),
    path("sign-out/", session.sign_out, name="sign-out"),
    path("board/", board.board, name="board"),
    path("board/live/", board.live, name="board-live"),
    path("jobs/", desk.jobs, name="jobs"),
    path("jobs/new/", intake.book_in, name="book-in"),
    path("jobs/new/customer/", intake.customer, name="book-in-customer"),
    path("jobs/new/bike/", intake.bike, name="book-in-bike"),
    path("jobs/new/ready/", intake.ready, name="book-in-ready"),
    path("jobs/<uuid:job_id>/", desk.job, name="job"),
    path("jobs/<uuid:job_id>/tag/", desk.tag, name="job-tag"),
    path("jobs/<uuid:job_id>/tag.svg", desk.tag_code, name="job-tag-code"),
    path("jobs/<uuid:job_id>/number/", numbers.number, name="job-number"),
    path("jobs/<uuid:job_id>/promise/", desk.promise, name="job-promise"),
    path("jobs/<uuid:job_id>/offers/", offers.make, name="job-offers"),
    path("jobs/<uuid:job_id>/offers/price/", offers.price, name="job-offers-price"),
    path("jobs/<uuid:job_id>/parts/<uuid:finding>/", offers.parts_in, name="job-parts"),
    path("offers/<uuid:offer_id>/answer/", offers.answer, name="offer-answer"),
    path("offers/<uuid:offer_id>/withdrawal/", offers.withdraw, name="offer-withdrawal"),
    path("jobs/<uuid:job_id>/release/", handover.release, name="job-release"),
    path("jobs/<uuid:job_id>/release/undo/", handover.take_back, name="job-take-back"),
    path("jobs/<uuid:job_id>/collection/", handover.collect, name="job-collection"),
    path("jobs/<uuid:job_id>/cancellation/", handover.cancel, name="job-cancellation"),
    path("jobs/<uuid:job_id>/sheet/", sheets.desk_sheet, name="job-sheet"),
    path("jobs/<uuid:job_id>/sheet.pdf", sheets.desk_pdf, name="job-sheet-pdf"),
    path("calculators/", calculators.calculators, name="calculators"),
    path("calculators/<slug:name>/", calculators.calculator, name="calculator"),
    path("jobs/<uuid:job_id>/sheet/<int:number>/", sheets.desk_sheet, name="job-sheet-version"),
    path(
        "jobs/<uuid:job_id>/sheet/<int:number>.pdf",
        sheets.desk_pdf,
        name="job-sheet-version-pdf",
    ),
    path(
        "jobs/<uuid:job_id>/sheet/<int:number>.json",
        sheets.desk_data,
        name="job-sheet-version-data",
    ),
    path("jobs/<uuid:job_id>/marks/<str:item>/", bikes.take_mark, name="job-mark"),
    path("bikes/<uuid:bike_id>/", bikes.bike, name="bike"),
    path("bikes/<uuid:bike_id>/owner/", bikes.change_hands, name="bike-owner"),
    path("outbox/", outbox.outbox, name="outbox"),
    path("outbox/<uuid:message_id>/sent/", outbox.sent, name="message-sent"),
    path("outbox/<uuid:message_id>/code.svg", outbox.code, name="message-code"),
    path("workshop/", workshop.settings, name="workshop"),
    path("workshop/closures/", workshop.add_closure, name="workshop-closures"),
    path("workshop/closures/<day:on>/", workshop.reopen, name="workshop-reopen"),
    path("workshop/people/", workshop.add_person, name="workshop-people"),
    path("workshop/people/<uuid:person_id>/", workshop.change_person, name="workshop-person"),
    path("workshop/instruments/", workshop.add_instrument, name="workshop-instruments"),
    path(
        "workshop/instruments/<uuid:instrument_id>/",
        workshop.change_instrument,
        name="workshop-instrument",
    ),
    path(
        "workshop/instruments/<uuid:instrument_id>/retire/",
        workshop.retire_instrument,
        name="workshop-retire",
    ),
    path("workshop/phones/", phones.phones, name="phones"),
    path("workshop/phones/codes/<uuid:code_id>/", phones.code, name="phone-code"),
    path("workshop/phones/<uuid:device_id>/", phones.sign_out, name="workshop-phone"),
    path("workshop/phones/<uuid:device_id>/loss/", phones.write_off, name="workshop-phone-loss"),
    # The customer
    path("a/<str:token>/", approvals.offer, name="customer-offer"),
    path("a/<str:token>/check/", approvals.check, name="customer-check"),
    path("a/<str:token>/answer/", approvals.answer, name="customer-answer"),
    path("a/<str:token>/photos/<sha256:name>/", approvals.photo, name="customer-photo"),
    path("s/<str:token>/", sheets.sheet, name="customer-sheet"),
    path("s/<str:token>/sheet.pdf", sheets.pdf, name="customer-sheet-pdf"),
    path("s/<str:token>/photos/<sha256:name>/", sheets.photo, name="customer-sheet-photo"),
    path("s/<str:token>/<int:number>/", sheets.sheet, name="customer-sheet-version"),
    path("s/<str:token>/<int:number>.pdf", sheets.pdf, name="customer-sheet-version-pdf"),
    path("s/<str:token>/<int:number>.json", sheets.data, name="customer-sheet-version-data"),
    # Anybody
    path("v/", checks.look_up, name="sheet-check"),
    path("v/<str:code>/", checks.check, name="sheet-check-code"),
    path("v/<str:code>/statement.json", checks.statement, name="sheet-check-statement"),
    path("v/<str:code>/signature", checks.signature, name="sheet-check-signature"),
    path("v/<str:code>/key.pem", checks.key, name="sheet-check-key"),
    # The bench: its two files, and what its phones say to the server
    path("bench/worker.js", bench.worker, name="bench-worker"),
    path("bench/", bench.install, name="bench"),
    path("bench/<path:path>", bench.install, name="bench-page"),
    path("api/sync", api.sync, name="api-sync"),
    path("api/routes", api.routes, name="api-routes"),
    path("api/catalogue", catalogue_api.catalogue, name="api-catalogue"),
    path("api/devices", enrolment_api.devices, name="api-devices"),
    path("api/photos/<sha256:name>", photo_api.photo, name="api-photo"),
    path("api/walk-ins/<uuid:job_id>", walk_in_api.walk_in, name="api-walk-in"),
    path("healthz", healthz, name="healthz"),
]
