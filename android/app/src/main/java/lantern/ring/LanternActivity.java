package lantern.ring;

import android.Manifest;
import android.app.AlertDialog;
import android.app.NativeActivity;
import android.content.ActivityNotFoundException;
import android.content.ClipData;
import android.content.Intent;
import android.content.pm.PackageManager;
import android.content.res.Configuration;
import android.database.Cursor;
import android.net.Uri;
import android.os.Bundle;
import android.provider.OpenableColumns;
import android.system.ErrnoException;
import android.system.Os;
import android.view.HapticFeedbackConstants;
import android.view.SoundEffectConstants;
import android.view.View;
import android.view.WindowManager;
import java.io.File;
import java.io.FileInputStream;
import java.io.FileOutputStream;
import java.io.IOException;
import java.io.InputStream;
import java.io.OutputStream;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.List;

/**
 * What only an activity can do: ask the system for files and for the camera, hand files over, give a tap its feel.
 *
 * <p>Rust calls these methods from its own threads (src/platform/android/java.rs) and takes what came from outside with
 * {@link #takeNews}; nothing here calls into Rust.
 */
public class LanternActivity extends NativeActivity {
    /** In {@link #choose}: one picture. */
    static final int PICTURE = 1;
    /** Bundles, one or many. */
    static final int BUNDLES = 2;
    /** A place to write a file to. */
    static final int PLACE = 3;

    /** The number of a file that another app opened with this one; what was asked for counts up from 1. */
    static final int OPENED = 0;

    static final int NOT_ASKED = 0;
    static final int ALLOWED = 1;
    static final int REFUSED = 2;

    /** Sent by {@code requestPermissions}; no {@link #choose} ever has it. */
    private static final int CAMERA = 0x7fff;

    /** What came and was not taken over yet, the oldest first. Guarded by itself. */
    private final ArrayDeque<String> news = new ArrayDeque<>();

    private volatile int cameraAnswer = NOT_ASKED;

    @Override
    protected void onCreate(Bundle saved) {
        try {
            // SQLite's own: the system's usual place is not for apps. Before anything native begins.
            Os.setenv("TMPDIR", getCacheDir().getPath(), true);
        } catch (ErrnoException unset) {
            // It then uses its memory, or says that it can't.
        }
        super.onCreate(saved);
        // A restored activity keeps the intent it was first started with: that file was taken then.
        if (saved == null) {
            opened(getIntent());
        }
    }

    @Override
    protected void onNewIntent(Intent intent) {
        super.onNewIntent(intent);
        opened(intent);
    }

    @Override
    protected void onActivityResult(int number, int result, Intent data) {
        super.onActivityResult(number, result, data);
        if (result == RESULT_OK && data != null) {
            for (Uri file : filesOf(data)) {
                came(number, file);
            }
        }
    }

    @Override
    public void onRequestPermissionsResult(int number, String[] names, int[] answers) {
        super.onRequestPermissionsResult(number, names, answers);
        if (number == CAMERA) {
            // An interrupted question counts as refused; it is asked again next time.
            cameraAnswer = mayUseCamera() ? ALLOWED : REFUSED;
        }
    }

    private void opened(Intent intent) {
        String action = intent == null ? null : intent.getAction();
        boolean carriesFiles =
                Intent.ACTION_VIEW.equals(action)
                        || Intent.ACTION_SEND.equals(action)
                        || Intent.ACTION_SEND_MULTIPLE.equals(action);
        if (carriesFiles) {
            for (Uri file : filesOf(intent)) {
                came(OPENED, file);
            }
        }
    }

    private static List<Uri> filesOf(Intent intent) {
        List<Uri> files = new ArrayList<>();
        ClipData clip = intent.getClipData();
        if (clip != null) {
            for (int i = 0; i < clip.getItemCount(); i++) {
                Uri file = clip.getItemAt(i).getUri();
                if (file != null) {
                    files.add(file);
                }
            }
        }
        if (files.isEmpty() && intent.getData() != null) {
            files.add(intent.getData());
        }
        return files;
    }

    private void came(int number, Uri file) {
        // Only what another app hands over. A path could name this app's own files.
        if ("content".equals(file.getScheme())) {
            synchronized (news) {
                news.add(number + "\n" + nameOf(file) + "\n" + file);
            }
        }
    }

    private String nameOf(Uri file) {
        String[] columns = {OpenableColumns.DISPLAY_NAME};
        try (Cursor cursor = getContentResolver().query(file, columns, null, null, null)) {
            if (cursor != null && cursor.moveToFirst() && cursor.getString(0) != null) {
                return cursor.getString(0).replaceAll("\\p{Cntrl}", " ");
            }
        } catch (RuntimeException refused) {
            // Other apps answer in many ways; a name is only for people.
        }
        return "";
    }

    /** A file that came: its number, name and address, a line each; null for none. */
    public String takeNews() {
        synchronized (news) {
            return news.poll();
        }
    }

    /** Copies what another app handed over; of more than {@code mostBytes} nothing is kept. */
    public void copyIn(String address, String path, long mostBytes) throws IOException {
        File part = new File(path);
        try (InputStream from = getContentResolver().openInputStream(Uri.parse(address));
                OutputStream to = new FileOutputStream(part)) {
            copy(from, to, mostBytes);
        } catch (IOException | RuntimeException failed) {
            part.delete();
            throw failed;
        }
    }

    /** Copies a file to where it was chosen to be. */
    public void copyOut(String path, String address) throws IOException {
        try (InputStream from = new FileInputStream(path);
                OutputStream to = getContentResolver().openOutputStream(Uri.parse(address), "wt")) {
            copy(from, to, Long.MAX_VALUE);
        }
    }

    private static void copy(InputStream from, OutputStream to, long mostBytes) throws IOException {
        if (from == null || to == null) {
            throw new IOException("the other app gave nothing");
        }
        byte[] buffer = new byte[64 * 1024];
        long left = mostBytes;
        for (int n = from.read(buffer); n >= 0; n = from.read(buffer)) {
            left -= n;
            if (left < 0) {
                throw new IOException("it is larger than " + mostBytes + " bytes");
            }
            to.write(buffer, 0, n);
        }
        to.flush();
    }

    /** Asks for files; they come as news with this number. */
    public void choose(final int kind, final int number, final String name) {
        final Intent question =
                new Intent(kind == PLACE ? Intent.ACTION_CREATE_DOCUMENT : Intent.ACTION_OPEN_DOCUMENT);
        question.addCategory(Intent.CATEGORY_OPENABLE);
        // To be opened, bundles have no type that all file apps agree on.
        question.setType(
                kind == PICTURE ? "image/*" : kind == PLACE ? OutgoingProvider.typeOf(name) : "*/*");
        if (kind == BUNDLES) {
            question.putExtra(Intent.EXTRA_ALLOW_MULTIPLE, true);
        }
        if (kind == PLACE) {
            question.putExtra(Intent.EXTRA_TITLE, name);
        }
        runOnUiThread(
                () -> {
                    try {
                        startActivityForResult(question, number);
                    } catch (ActivityNotFoundException none) {
                        tell(getString(R.string.no_file_app));
                    }
                });
    }

    /** Offers a file of the outgoing folder to other apps. */
    public void share(String name) {
        Uri file = OutgoingProvider.address(getPackageName(), name);
        Intent send = new Intent(Intent.ACTION_SEND);
        send.setType(OutgoingProvider.typeOf(name));
        send.putExtra(Intent.EXTRA_STREAM, file);
        send.setClipData(ClipData.newRawUri(name, file));
        send.addFlags(Intent.FLAG_GRANT_READ_URI_PERMISSION);
        final Intent chooser = Intent.createChooser(send, name);
        runOnUiThread(() -> startActivity(chooser));
    }

    private void tell(String words) {
        new AlertDialog.Builder(this).setMessage(words).setPositiveButton(R.string.good, null).show();
    }

    /** Says why the program can't go on, then ends it. */
    public void endWith(final String words) {
        runOnUiThread(
                () ->
                        new AlertDialog.Builder(this)
                                .setMessage(words)
                                .setCancelable(false)
                                .setPositiveButton(R.string.good, (dialog, which) -> finish())
                                .show());
    }

    private boolean mayUseCamera() {
        return checkSelfPermission(Manifest.permission.CAMERA) == PackageManager.PERMISSION_GRANTED;
    }

    /** Whether the camera may be used: {@link #NOT_ASKED} while the question is open, too. */
    public int cameraPermission() {
        return mayUseCamera() ? ALLOWED : cameraAnswer;
    }

    /** Says what the camera is for, then has the system ask. */
    public void askForCamera() {
        cameraAnswer = NOT_ASKED;
        runOnUiThread(
                () ->
                        new AlertDialog.Builder(this)
                                .setMessage(R.string.camera_reason)
                                .setPositiveButton(
                                        R.string.go_on,
                                        (dialog, which) ->
                                                requestPermissions(
                                                        new String[] {Manifest.permission.CAMERA}, CAMERA))
                                .setNegativeButton(
                                        R.string.not_now, (dialog, which) -> cameraAnswer = REFUSED)
                                .setOnCancelListener(dialog -> cameraAnswer = REFUSED)
                                .show());
    }

    /** A drop was counted: it is felt and, where the system's touch sounds are on, heard. */
    public void tick() {
        runOnUiThread(
                () -> {
                    View view = getWindow().getDecorView();
                    view.performHapticFeedback(HapticFeedbackConstants.KEYBOARD_TAP);
                    view.playSoundEffect(SoundEffectConstants.CLICK);
                });
    }

    /** Keeps the screen on, or lets the system turn it off as usual. */
    public void keepAwake(final boolean awake) {
        final int flag = WindowManager.LayoutParams.FLAG_KEEP_SCREEN_ON;
        runOnUiThread(
                () -> {
                    if (awake) {
                        getWindow().addFlags(flag);
                    } else {
                        getWindow().clearFlags(flag);
                    }
                });
    }

    /** Whether the system is set to dark. */
    public boolean isDark() {
        int night = getResources().getConfiguration().uiMode & Configuration.UI_MODE_NIGHT_MASK;
        return night == Configuration.UI_MODE_NIGHT_YES;
    }

    /** How much larger than normal the system shows text. */
    public float fontScale() {
        return getResources().getConfiguration().fontScale;
    }

    /** How far the picture on the screen is turned from the device's upright, in quarter turns. */
    public int quarterTurns() {
        return getWindowManager().getDefaultDisplay().getRotation();
    }
}
